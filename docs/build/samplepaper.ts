/**
 * The paper that the page for examiners makes, as the same commands make it.
 */
import { LEVELS, makePaper, paperFiles } from '../../src/exam/index.js';
import { drawPicture } from '../../src/pictures/index.js';
import { receiveCalls } from '../../src/receiver/index.js';
import { readWav } from '../../src/wav/index.js';

/** What the page tells `dotphase paper`, and a secret that is none, so that the site is the same each time. */
const PLAN = { level: 2, secret: 'the sample paper of the guide', exercises: 4 } as const;

/**
 * The files of the paper, and a picture of its first recording.
 *
 * @param folder - where the paper lies in the site
 */
export function createSamplePaper(folder: string): [string, string | Uint8Array][] {
  const paper = makePaper(PLAN);
  const [first] = paper.exercises;
  const { sampleRate, channels } = readWav(first.wav);
  const picture = drawPicture(channels[0], {
    sampleRate,
    calls: receiveCalls(channels[0], { sampleRate }),
    title: `${first.file}, level ${PLAN.level}: ${LEVELS[PLAN.level].title}`,
  });
  return [
    ...paperFiles(paper).map(({ name, content }): [string, string | Uint8Array] => [
      `${folder}/${name}`,
      content,
    ]),
    [`${folder}/01.svg`, picture],
  ];
}

/**
 * Papers and exercises on a thread of their own: each recording is received again before it counts, which takes seconds.
 */
import { policy } from '../policy.js';
import { keyOf, makePaper, makeVersions, paperFiles, parsePaperPlan, roomFiles } from 'dotphase/exam';
import type { FromMaker, ToMaker } from './protocol.js';

const tell = (message: FromMaker) => {
  postMessage(message);
};

function makeAll({ plan, room }: Extract<ToMaker, { type: 'paper' }>): void {
  const { versions, exercises } = parsePaperPlan(plan);
  let done = 0;
  const papers = makeVersions(plan, () => {
    tell({ type: 'progress', done: ++done, of: versions * exercises.length });
  });
  tell({
    type: 'paper',
    papers: papers.map((paper) => ({
      title: paper.title,
      number: paper.number,
      version: paper.version,
      key: keyOf(paper),
      files: [...paperFiles(paper), ...(room ? roomFiles(paper, room) : [])],
    })),
  });
}

function handle(message: ToMaker): void {
  if (message.type === 'paper') {
    makeAll(message);
    return;
  }
  const { exercises, sampleRate } = makePaper(message.plan);
  tell({ type: 'practice', exercise: exercises[0], sampleRate });
}

if (policy.jitless) {
  addEventListener('message', ({ data }: MessageEvent<ToMaker>) => {
    try {
      handle(data);
    } catch (error) {
      tell({ type: 'failed', reason: error instanceof Error ? error.message : String(error) });
    }
  });
}

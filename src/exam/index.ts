/**
 * Exam: papers for those who learn to read DSC calls. A secret and a level, or a plan, become recordings with questions
 * and answers; the answers of candidates become marks.
 *
 * Nothing here touches files: {@link paperFiles} gives what is to be written.
 *
 * @example
 * ```ts
 * import { keyOf, makePaper, markAnswers } from 'dotphase/exam';
 *
 * const paper = makePaper({ secret: 'grey petrel at noon, 2031', exercises: [{ level: 1 }] });
 * const key = keyOf(paper);
 * const ids = key.questions.map(({ id }) => id);
 * const letters = key.questions.map(({ answer }) => answer);
 * const [marks] = markAnswers(key, `candidate,${ids.join(',')}\nCandidate 7,${letters.join(',')}\n`);
 * console.log(marks.percent); // 100
 * ```
 *
 * @packageDocumentation
 */
export { paperFiles, type PaperFile } from './files.js';
export { keyOf, parsePaperKey, type MarkedQuestion, type PaperKey } from './key.js';
export { LEVELS, type Level, type LevelDescription } from './levels.js';
export {
  markAnswers,
  markQuestions,
  markReason,
  marksCsv,
  type CandidateMarks,
  type MarkedAnswer,
  type ShownAnswer,
} from './marking.js';
export {
  makePaper,
  makeVersions,
  type KeyCall,
  type Paper,
  type PaperExercise,
  type WrittenPart,
} from './paper.js';
export {
  parsePaperPlan,
  type CallPlan,
  type CheckedExercise,
  type CheckedPlan,
  type ExercisePlan,
  type PaperPlan,
  type WrittenPlan,
} from './plan.js';
export {
  classCsv,
  classResults,
  questionsStatisticsCsv,
  type AnswerStatistics,
  type CandidateResult,
  type ClassResults,
  type ClassSummary,
  type QuestionStatistics,
  type ResultsOptions,
} from './results.js';
export { roomFiles, roomRecording, type RoomMoment, type RoomOptions, type RoomRecording } from './room.js';
export { resultsSheet } from './sheets/results.js';
export { tableText } from './csv.js';
export { SECRET_RULE, SHORTEST_SECRET, isSecret } from './secret.js';
export {
  TOPICS,
  type KeyQuestion,
  type PaperChoice,
  type Question,
  type Topic,
  type Wanted,
} from './questions/index.js';
export { judgeTyped, type Judgement, type Tolerances, type TypedAnswer } from './typed.js';
export { WRITTEN_SUBJECTS, type WrittenSubject } from './written/index.js';

/** What a worker process does: one job of one part. */
import { measureBitErrors, type BitErrorJob } from '../scenes/biterrors.js';
import { runDecodeJob, type DecodeJob } from '../scenes/decode.js';
import { runLatencyJob, type LatencyJob } from './latency.js';
import { runLookAlikeJob, type LookAlikeJob } from '../scenes/lookalikes.js';
import { runFmJob, runHarderAirJob, type FmJob, type HarderAirJob } from '../scenes/harderair.js';
import { runStepJob, type StepJob } from './steps.js';
import { runMemoryJob, runSpeedJob, type MemoryJob, type SpeedJob } from './speed.js';

/** The jobs by name. */
export const JOBS = {
  bits: (job: BitErrorJob) => ({ ...job, ...measureBitErrors(job) }),
  decode: (job: DecodeJob) => runDecodeJob(job),
  steps: (job: StepJob) => runStepJob(job),
  lookAlike: (job: LookAlikeJob) => runLookAlikeJob(job),
  harder: (job: HarderAirJob) => runHarderAirJob(job),
  fm: (job: FmJob) => runFmJob(job),
  speed: (job: SpeedJob) => runSpeedJob(job),
  memory: (job: MemoryJob) => runMemoryJob(job),
  latency: (job: LatencyJob) => runLatencyJob(job),
};

/** Runs a job. */
export default function run<Name extends keyof typeof JOBS>({
  name,
  job,
}: {
  name: Name;
  job: Parameters<(typeof JOBS)[Name]>[0];
}): ReturnType<(typeof JOBS)[Name]> {
  return JOBS[name](job as never) as ReturnType<(typeof JOBS)[Name]>;
}

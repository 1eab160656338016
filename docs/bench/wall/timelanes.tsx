/**
 * Two lanes of time to scale: when each of two stations was on the air.
 */
import { useSeconds } from '../exchange/lanes.js';

/** A time on the air. */
export interface AirTime {
  readonly lane: 0 | 1;
  /** Milliseconds since 1970 UTC. */
  readonly from: number;
  readonly to: number;
  readonly text: string;
}

/** Steps of the axis, seconds: the first that gives no more than eight marks. */
const STEPS = [0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 30, 60, 120, 300, 600];
const MOST_MARKS = 8;

export function TimeLanes({
  names,
  times,
  isRunning,
}: {
  names: readonly [string, string];
  times: readonly AirTime[];
  isRunning: boolean;
}) {
  const start = times.length === 0 ? 0 : Math.min(...times.map(({ from }) => from));
  const seconds = useSeconds(start, isRunning);
  if (times.length === 0) return null;
  const last = (Math.max(...times.map(({ to }) => to)) - start) / 1000;
  const shown = isRunning ? Math.max(last, seconds) : last;
  const step = STEPS.find((each) => shown / each <= MOST_MARKS) ?? 1200;
  const length = Math.max(step, shown);
  const marks = Array.from({ length: Math.floor(length / step + 1e-9) + 1 }, (_, i) => i * step);
  const place = (at: number) => `${(100 * at) / length}%`;
  return (
    <div class="time-lanes">
      {names
        .filter((name) => name !== '')
        .map((name, lane) => (
          <div key={lane} class={`lane lane-${lane}`}>
            <span class="lane-name">{name}</span>
            <div class="lane-track">
              {times
                .filter((time) => time.lane === lane)
                .map(({ from, to, text }) => (
                  <span
                    key={from}
                    class="air-time"
                    title={text}
                    style={{
                      left: place((from - start) / 1000),
                      width: place((Math.min(to, Math.max(from, start + 1000 * shown)) - from) / 1000),
                    }}
                  >
                    {((to - from) / 1000).toFixed(1)} s
                  </span>
                ))}
            </div>
          </div>
        ))}
      <div class="lane-axis" aria-hidden="true">
        {marks.map((mark) => (
          // A mark at the end is written before it.
          <span key={mark} style={{ left: place(mark) }} class={mark > 0.95 * length ? 'last' : ''}>
            {Number(mark.toFixed(1))} s
          </span>
        ))}
      </div>
    </div>
  );
}

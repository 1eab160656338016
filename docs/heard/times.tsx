/**
 * Hours against frequencies, which frequency works when, and the stations heard.
 */
import { frequency, moment, type Summary } from './data.js';

const HOUR_MS = 3_600_000;
const CELL = 22;
/** Hours shown at least, up to the last with a call. */
const LEAST_HOURS = 24;
const LEFT = 96;
const TOP = 8;

function Hours({ hours }: Pick<Summary, 'hours'>) {
  if (hours.length === 0) return <p class="reading">No call with a known time was heard.</p>;
  const last = hours[hours.length - 1].hour;
  const first = Math.min(hours[0].hour, last - (LEAST_HOURS - 1) * HOUR_MS);
  const columns = (last - first) / HOUR_MS + 1;
  const rows = [...new Set(hours.map(({ frequencyHz }) => frequencyHz))].sort((a, b) => (a ?? 0) - (b ?? 0));
  const most = Math.max(...hours.map(({ calls }) => calls));
  const width = LEFT + columns * CELL + 8;
  const height = TOP + rows.length * CELL + 22;
  return (
    <div class="scroll" tabIndex={0} role="group" aria-label="Hours against frequencies">
      <svg
        class="hours"
        width={width}
        height={height}
        role="img"
        aria-label="How many calls were heard in each hour on each frequency"
      >
        {rows.map((hz, row) => (
          <text key={row} x={LEFT - 8} y={TOP + (row + 0.7) * CELL} class="end">
            {hz === undefined ? 'not known' : frequency(hz)}
          </text>
        ))}
        {Array.from({ length: columns }, (_, column) => {
          const hour = new Date(first + column * HOUR_MS).getUTCHours();
          return hour % 6 === 0 ? (
            <text key={column} x={LEFT + column * CELL} y={height - 6}>
              {String(hour).padStart(2, '0')}
            </text>
          ) : null;
        })}
        <rect x={LEFT} y={TOP} width={columns * CELL} height={rows.length * CELL} class="ground" />
        {hours.map(({ hour, frequencyHz, calls }) => (
          <rect
            key={`${hour} ${frequencyHz}`}
            x={LEFT + ((hour - first) / HOUR_MS) * CELL + 1}
            y={TOP + rows.indexOf(frequencyHz) * CELL + 1}
            width={CELL - 2}
            height={CELL - 2}
            class="count"
            fill-opacity={0.2 + (0.8 * Math.log1p(calls)) / Math.log1p(most)}
          >
            <title>{`${moment(hour).slice(0, 16)} UTC, ${frequency(frequencyHz)}: ${calls}`}</title>
          </rect>
        ))}
      </svg>
    </div>
  );
}

const percent = (share: number) => `${Math.round(100 * share)} %`;

export function TimesView({ hours, tests, stations }: Summary) {
  return (
    <>
      <h2>Calls by hour, UTC, and frequency</h2>
      <Hours hours={hours} />
      <h2>Test calls that were acknowledged</h2>
      {tests.length === 0 ? (
        <p class="reading">No test call was heard.</p>
      ) : (
        <div class="scroll" tabIndex={0} role="group" aria-label="Test calls">
          <table>
            <thead>
              <tr>
                <th scope="col">Frequency</th>
                <th scope="col">Calls</th>
                <th scope="col">Acknowledged</th>
                <th scope="col">True share, with 95 % confidence</th>
              </tr>
            </thead>
            <tbody>
              {tests.map(({ key, tried, succeeded, low, high }) => (
                <tr key={key}>
                  <th scope="row">{key === undefined ? 'not known' : frequency(key)}</th>
                  <td>{tried}</td>
                  <td>{succeeded}</td>
                  <td>
                    {percent(low)} to {percent(high)}
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
      <h2>Stations heard</h2>
      <div class="scroll" tabIndex={0} role="group" aria-label="Stations heard">
        <table>
          <thead>
            <tr>
              <th scope="col">Station</th>
              <th scope="col">Administration</th>
              <th scope="col">Calls</th>
              <th scope="col">First, UTC</th>
              <th scope="col">Last, UTC</th>
            </tr>
          </thead>
          <tbody>
            {stations.map(({ identity, name, country, calls, first, last }) => (
              <tr key={identity}>
                <th scope="row">{name}</th>
                <td>{country ?? 'not known'}</td>
                <td>{calls}</td>
                <td>{first === undefined ? 'not known' : moment(first)}</td>
                <td>{last === undefined ? 'not known' : moment(last)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </>
  );
}

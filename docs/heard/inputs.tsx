/**
 * How the inputs of a watch are, and what happened to them.
 */
import { moment, type Summary } from './data.js';

const decibels = (value: number | undefined) => (value === undefined ? 'silence' : `${value.toFixed(0)} dB`);

export function InputsView({ inputs, events }: Summary) {
  return (
    <>
      <h2>Levels of the last minute</h2>
      {inputs.length === 0 ? (
        <p class="reading">No watch writes into this log.</p>
      ) : (
        <div class="scroll" tabIndex={0} role="group" aria-label="Levels">
          <table>
            <thead>
              <tr>
                <th scope="col">Input</th>
                <th scope="col">Minute from, UTC</th>
                <th scope="col">Mean</th>
                <th scope="col">Peak</th>
              </tr>
            </thead>
            <tbody>
              {inputs.map(({ input, time, rmsDb, peakDb }) => (
                <tr key={input}>
                  <th scope="row">{input}</th>
                  <td>{moment(time)}</td>
                  <td>{decibels(rmsDb)}</td>
                  <td>{decibels(peakDb)}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
      <h2>What happened</h2>
      {events.length === 0 && <p class="reading">Nothing yet.</p>}
      <ol class="events">
        {events.map(({ id, input, kind, time, until, text }) => (
          <li key={id} class={kind}>
            <span class="when">{moment(time)}</span>
            <strong>{input}</strong> {text}
            {until !== undefined && ` until ${moment(until)}`}
          </li>
        ))}
      </ol>
    </>
  );
}

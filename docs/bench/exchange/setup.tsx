/**
 * The other end: a real set on the sound card, or virtual stations; and what the own station answers by itself.
 */
import { SECOND_TELECOMMANDS } from 'dotphase';
import { DSC_FREQUENCIES } from 'dotphase/frequencies';
import { useEffect, useState } from 'preact/hooks';
import { sayRefusal } from '../audio/capture.js';
import { deviceChoices, listDevices, type Device } from '../audio/devices.js';
import { checkLoop, testTone } from '../audio/loop.js';
import { canChooseOutput, chooseOutput, playHeld } from '../audio/player.js';
import { sayFrequency } from '../compose/form.js';
import { Level } from '../listen/level.js';
import { SelectField, TextField, Tick } from '../parts/fields.js';
import { Slider } from '../parts/slider.js';
import type { AnswerSettings } from './answers.js';
import { channelMessage } from './choices.js';
import { CALM_SEA, FADINGS, type SeaSettings } from './sea.js';

export interface SetSettings {
  input: string;
  output: string;
  /** Peak level of what is sent, dB of full scale. */
  levelDb: number;
  /** Whether a person said that a dummy load or a cable is connected. */
  isLoaded: boolean;
}

export const FIRST_SET: SetSettings = { input: '', output: '', levelDb: -6, isLoaded: false };

export interface VirtualSettings extends SeaSettings {
  isAudible: boolean;
}

export const FIRST_VIRTUAL: VirtualSettings = { ...CALM_SEA, isAudible: true };

export function amplitudeOf({ levelDb }: SetSettings): number {
  return 10 ** (levelDb / 20);
}

export function VirtualSetup({
  settings,
  onSettings,
}: {
  settings: VirtualSettings;
  onSettings: (part: Partial<VirtualSettings>) => void;
}) {
  return (
    <>
      <Slider
        label="Signal to noise in 3 kHz"
        value={settings.snrDb}
        min={-20}
        max={40}
        unit="dB"
        onValue={(snrDb) => {
          onSettings({ snrDb });
        }}
      />
      <SelectField
        label="Fading (ITU-R F.1487)"
        value={settings.fading}
        onValue={(fading) => {
          onSettings({ fading });
        }}
        choices={FADINGS}
      />
      <Tick
        label="Let me hear it"
        checked={settings.isAudible}
        onValue={(isAudible) => {
          onSettings({ isAudible });
        }}
      />
    </>
  );
}

export function SetSetup({
  settings,
  listenHz,
  peak,
  isOpen,
  onSettings,
  onListenHz,
}: {
  settings: SetSettings;
  listenHz: number;
  /** The highest amplitude that comes in, while the link is open. */
  peak: number;
  isOpen: boolean;
  onSettings: (part: Partial<SetSettings>) => void;
  onListenHz: (hz: number) => void;
}) {
  const [inputs, setInputs] = useState<readonly Device[]>([]);
  const [outputs, setOutputs] = useState<readonly Device[]>([]);
  const [said, setSaid] = useState('');
  const [isChecking, setChecking] = useState(false);
  useEffect(() => {
    void listDevices('audioinput').then(setInputs);
    void listDevices('audiooutput').then(setOutputs);
  }, [isOpen, said]);
  useEffect(() => {
    if (canChooseOutput()) {
      void chooseOutput(settings.output).catch(() => {
        setSaid('This output is not there any more; the browser’s choice is used.');
      });
    }
  }, [settings.output]);
  const run = (act: () => Promise<string>) => {
    setChecking(true);
    setSaid('');
    void act()
      .then(setSaid, (error: unknown) => {
        setSaid(sayRefusal(error));
      })
      .then(() => {
        setChecking(false);
      });
  };
  return (
    <>
      <SelectField
        label="Input: what comes from the set"
        value={settings.input}
        onValue={(input) => {
          onSettings({ input });
        }}
        choices={deviceChoices(inputs, 'Input', settings.input)}
      />
      {canChooseOutput() && (
        <SelectField
          label="Output: what goes to the set"
          value={settings.output}
          onValue={(output) => {
            onSettings({ output });
          }}
          choices={deviceChoices(outputs, 'Output', settings.output)}
        />
      )}
      <Slider
        label="Level of what is sent"
        value={settings.levelDb}
        min={-40}
        max={0}
        unit="dB of full scale"
        onValue={(levelDb) => {
          onSettings({ levelDb });
        }}
      />
      {isOpen && <Level peak={peak} />}
      <div class="actions">
        <button
          type="button"
          disabled={isChecking}
          onClick={() => {
            run(async () => {
              const playing = await playHeld(testTone(amplitudeOf(settings)), 48_000);
              await playing.over;
              return 'The test tone, 1700 Hz for a second, has sounded.';
            });
          }}
        >
          Test tone
        </button>
        <button
          type="button"
          disabled={isChecking}
          onClick={() => {
            run(async () => {
              const input = settings.input === '' ? undefined : settings.input;
              const { isThere, levelDb, peak: highest } = await checkLoop(input, amplitudeOf(settings));
              const level = `${levelDb.toFixed(0).replace('-', '−')} dB of full scale`;
              if (!isThere)
                return 'Nothing of the test tone came back: check the cable, the devices and the levels.';
              return highest >= 0.999
                ? `The loop works, but the input clips: turn it down. The tone came back at ${level}.`
                : `The loop works: the test tone came back at ${level}.`;
            });
          }}
        >
          Check the loop
        </button>
      </div>
      <p class="said" role="status">
        {said}
      </p>
      <SelectField
        label="The set listens on (100 Bd)"
        value={String(listenHz)}
        onValue={(hz) => {
          onListenHz(Number(hz));
        }}
        choices={DSC_FREQUENCIES.filter(({ band }) => band !== 'VHF').map((row) => ({
          value: String(row.hz),
          text: sayFrequency(row),
        }))}
        reading="1200 Bd is taken for VHF channel 70."
      />
      <Tick
        label="A dummy load or a cable is connected: urgency calls may be answered without asking"
        checked={settings.isLoaded}
        onValue={(isLoaded) => {
          onSettings({ isLoaded });
        }}
      />
    </>
  );
}

const OTHERS: readonly { readonly value: AnswerSettings['others']; readonly text: string }[] = [
  { value: 'ask', text: 'ask me' },
  { value: 'able', text: 'comply' },
  { value: 'propose', text: 'propose another channel' },
  { value: 'unable', text: 'refuse' },
];

const REASONS = SECOND_TELECOMMANDS.words
  .filter(({ symbol }) => symbol <= 109)
  .map(({ name, text }) => ({ value: name, text }));

export function AnswerSetup({
  settings,
  onSettings,
}: {
  settings: AnswerSettings;
  onSettings: (part: Partial<AnswerSettings>) => void;
}) {
  return (
    <>
      <Tick
        label="Answer test calls, position requests and polling without asking"
        checked={settings.simple}
        onValue={(simple) => {
          onSettings({ simple });
        }}
      />
      <SelectField
        label="To individual, safety and urgency calls"
        value={settings.others}
        onValue={(others) => {
          onSettings({ others });
        }}
        choices={OTHERS}
        reading="Distress is never answered without a person."
      />
      {settings.others === 'unable' && (
        <SelectField
          label="Because"
          value={settings.reason}
          onValue={(reason) => {
            onSettings({ reason });
          }}
          choices={REASONS}
        />
      )}
      {settings.others === 'propose' && (
        <TextField
          label="Channel to propose"
          value={settings.channel}
          onValue={(channel) => {
            onSettings({ channel });
          }}
          complaint={
            channelMessage(settings.channel, 'mf-hf')
              ? undefined
              : 'Expected a channel such as 4146 kHz or vhf 72.'
          }
        />
      )}
      <Slider
        label="The answer comes after"
        value={settings.delay}
        min={0}
        max={30}
        unit="s"
        onValue={(delay) => {
          onSettings({ delay });
        }}
      />
      <p class="reading">A coast station waits at least 5 s (ITU-R M.541 Annex 2, from memory).</p>
    </>
  );
}

/**
 * Labelled inputs: every one tells what it expects, what it understood and what is wrong.
 */
import type { ComponentChildren } from 'preact';
import { useId } from 'preact/hooks';

interface FieldProps {
  readonly label: string;
  /** What the input means as it stands. */
  readonly reading?: ComponentChildren;
  readonly complaint?: string | undefined;
}

interface Described {
  readonly id: string;
  readonly 'aria-describedby': string;
  readonly 'aria-invalid': boolean;
}

/** A label, an input and what is said about it. */
function Field({
  label,
  reading,
  complaint,
  children,
}: FieldProps & { children: (props: Described) => ComponentChildren }) {
  const id = useId();
  const wrong = complaint !== undefined;
  return (
    <div class="field">
      <label for={id}>{label}</label>
      {children({ id, 'aria-describedby': `${id}-said`, 'aria-invalid': wrong })}
      <p class={wrong ? 'complaint' : 'reading'} id={`${id}-said`}>
        {wrong ? complaint : reading}
      </p>
    </div>
  );
}

export function TextField({
  value,
  onValue,
  numeric = false,
  size,
  ...field
}: FieldProps & { value: string; onValue: (value: string) => void; numeric?: boolean; size?: number }) {
  return (
    <Field {...field}>
      {(props) => (
        <input
          {...props}
          type="text"
          size={size}
          class={size === undefined ? 'wide' : ''}
          inputMode={numeric ? 'decimal' : 'text'}
          autocomplete="off"
          spellcheck={false}
          value={value}
          onInput={(event) => {
            onValue(event.currentTarget.value);
          }}
        />
      )}
    </Field>
  );
}

export interface Choice<Value extends string> {
  readonly value: Value;
  readonly text: string;
}

export function SelectField<Value extends string>({
  value,
  onValue,
  choices,
  groups,
  ...field
}: FieldProps & {
  value: Value;
  onValue: (value: Value) => void;
  choices?: readonly Choice<Value>[];
  groups?: readonly { title: string; choices: readonly Choice<Value>[] }[];
}) {
  const options = (list: readonly Choice<Value>[]) =>
    list.map((choice) => (
      <option key={choice.value} value={choice.value} selected={choice.value === value}>
        {choice.text}
      </option>
    ));
  return (
    <Field {...field}>
      {(props) => (
        <select
          {...props}
          class="wide"
          onChange={(event) => {
            onValue(event.currentTarget.value as Value);
          }}
        >
          {choices && options(choices)}
          {groups?.map(({ title, choices: list }) => (
            <optgroup key={title} label={title}>
              {options(list)}
            </optgroup>
          ))}
        </select>
      )}
    </Field>
  );
}

export function Tick({
  label,
  checked,
  onValue,
}: {
  label: ComponentChildren;
  checked: boolean;
  onValue: (checked: boolean) => void;
}) {
  return (
    <label class="tick">
      <input
        type="checkbox"
        checked={checked}
        onChange={(event) => {
          onValue(event.currentTarget.checked);
        }}
      />
      <span>{label}</span>
    </label>
  );
}

/** A few choices side by side. */
export function RadioRow<Value extends string>({
  legend,
  value,
  onValue,
  choices,
}: {
  legend: string;
  value: Value;
  onValue: (value: Value) => void;
  choices: readonly Choice<Value>[];
}) {
  const name = useId();
  return (
    <fieldset class="radios">
      <legend>{legend}</legend>
      <div>
        {choices.map((choice) => (
          <label key={choice.value}>
            <input
              type="radio"
              name={name}
              value={choice.value}
              checked={choice.value === value}
              onChange={() => {
                onValue(choice.value);
              }}
            />
            <span>{choice.text}</span>
          </label>
        ))}
      </div>
    </fieldset>
  );
}

/** Several small inputs that make one value, for example degrees, minutes and hemisphere. */
export function Group({
  legend,
  complaint,
  reading,
  children,
}: {
  legend: string;
  complaint?: string | undefined;
  reading?: ComponentChildren;
  children: (describedBy: string) => ComponentChildren;
}) {
  const id = useId();
  return (
    <fieldset class="group">
      <legend>{legend}</legend>
      <div class="row">{children(id)}</div>
      <p class={complaint === undefined ? 'reading' : 'complaint'} id={id}>
        {complaint ?? reading}
      </p>
    </fieldset>
  );
}

/** A short input inside a {@link Group}, with its unit behind it. */
export function Small({
  label,
  unit,
  value,
  onValue,
  size,
  invalid,
  describedBy,
}: {
  label: string;
  unit: string;
  value: string;
  onValue: (value: string) => void;
  size: number;
  invalid: boolean;
  describedBy: string;
}) {
  return (
    <label class="small">
      <span class="hidden">{label}</span>
      <input
        type="text"
        inputMode="decimal"
        autocomplete="off"
        style={{ width: `calc(${size}ch + 1.6rem)` }}
        value={value}
        aria-invalid={invalid}
        aria-describedby={describedBy}
        onInput={(event) => {
          onValue(event.currentTarget.value);
        }}
      />
      <span aria-hidden="true">{unit}</span>
    </label>
  );
}

export function SmallSelect<Value extends string>({
  label,
  value,
  onValue,
  values,
}: {
  label: string;
  value: Value;
  onValue: (value: Value) => void;
  values: readonly Choice<Value>[];
}) {
  return (
    <label class="small">
      <span class="hidden">{label}</span>
      <select
        value={value}
        onChange={(event) => {
          onValue(event.currentTarget.value as Value);
        }}
      >
        {values.map((each) => (
          <option key={each.value} value={each.value}>
            {each.text}
          </option>
        ))}
      </select>
    </label>
  );
}

/**
 * A value on a scale, with its unit.
 */
export function Slider({
  label,
  value,
  min,
  max,
  unit,
  onValue,
}: {
  label: string;
  value: number;
  min: number;
  max: number;
  unit: string;
  onValue: (value: number) => void;
}) {
  const said = `${String(value).replace('-', '−')} ${unit}`;
  return (
    <label class="field slider">
      <span>
        {label}: <b>{said}</b>
      </span>
      <input
        type="range"
        aria-label={label}
        aria-valuetext={said}
        min={min}
        max={max}
        value={value}
        onInput={(event) => {
          onValue(Number(event.currentTarget.value));
        }}
      />
    </label>
  );
}

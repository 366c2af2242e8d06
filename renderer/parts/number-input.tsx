import { useId, useState } from 'react';

/** A number or nothing, taken over when it makes sense and told when it does not. */
export function NumberInput({
  label,
  value,
  from,
  to,
  onChange,
}: {
  label: string;
  value: number | null;
  from: number;
  to: number;
  onChange: (value: number | null) => void;
}) {
  const id = useId();
  const [typed, setText] = useState<{ text: string; of: number | null }>({ text: textOf(value), of: value });
  // A value that changed by itself (taken back, or another review) replaces what stands in the field.
  const text = typed.of === value ? typed.text : textOf(value);
  const number = numberOf(text);
  const wrong = text.trim() !== '' && (number === null || number < from || number > to);
  return (
    <div className="field">
      <label htmlFor={id}>{label}</label>
      <input
        id={id}
        inputMode="decimal"
        value={text}
        aria-invalid={wrong}
        aria-describedby={wrong ? `${id}-wrong` : undefined}
        onChange={({ target }) => {
          const next = numberOf(target.value);
          const fits = next !== null && next >= from && next <= to;
          const taken = target.value.trim() === '' ? null : fits ? next : value;
          setText({ text: target.value, of: taken });
          if (taken !== value) onChange(taken);
        }}
      />
      {wrong && (
        <span id={`${id}-wrong`} className="small">
          A number from {from} to {to}.
        </span>
      )}
    </div>
  );
}

const textOf = (value: number | null): string => (value === null ? '' : String(value));

/** Comma or point, as people write. */
function numberOf(text: string): number | null {
  const trimmed = text.trim().replace(',', '.');
  return /^\d+(\.\d*)?$/.test(trimmed) ? Number(trimmed) : null;
}

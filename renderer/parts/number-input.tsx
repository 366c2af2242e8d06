import { useEffect, useId, useState } from 'react';

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
  const [text, setText] = useState(value === null ? '' : String(value));
  useEffect(() => {
    // A value that changed by itself (taken back, or another review) replaces what stands in the field.
    setText((shown) => (numberOf(shown) === value ? shown : value === null ? '' : String(value)));
  }, [value]);
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
          setText(target.value);
          const next = numberOf(target.value);
          if (target.value.trim() === '') onChange(null);
          else if (next !== null && next >= from && next <= to) onChange(next);
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

/** Comma or point, as people write. */
function numberOf(text: string): number | null {
  const trimmed = text.trim().replace(',', '.');
  return /^\d+(\.\d*)?$/.test(trimmed) ? Number(trimmed) : null;
}

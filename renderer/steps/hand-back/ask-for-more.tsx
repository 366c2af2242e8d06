import { useRef, useState } from 'react';
import { useMessage } from '../../state/letter.ts';

/** A message to the lifter about what is missing, copied with one click. */
export function AskForMore({ after }: { after: boolean }) {
  const proposed = useMessage(after);
  return (
    <section aria-labelledby="ask-for-more" className="panel">
      <h2 id="ask-for-more">Ask for what is missing</h2>
      {proposed === undefined && (
        <p className="small muted">What is missing is looked up once the clips are read.</p>
      )}
      {proposed === null && (
        <p className="small">
          Nothing is missing: every fact was said, and today’s clip carries every measure.
        </p>
      )}
      {typeof proposed === 'string' && <Message key={proposed} proposed={proposed} />}
    </section>
  );
}

function Message({ proposed }: { proposed: string }) {
  const [text, setText] = useState(proposed);
  const [copied, setCopied] = useState<'copied' | 'not copied' | null>(null);
  const field = useRef<HTMLTextAreaElement>(null);
  const copy = async (): Promise<void> => {
    const written = await navigator.clipboard.writeText(text).then(
      () => true,
      () => false,
    );
    // What is selected can be copied by hand where a shell keeps the clipboard from pages.
    if (!written) field.current?.select();
    setCopied(written ? 'copied' : 'not copied');
  };
  return (
    <>
      <textarea
        ref={field}
        rows={8}
        className="message"
        aria-label="Message to the lifter"
        value={text}
        onChange={({ target }) => {
          setText(target.value);
          setCopied(null);
        }}
      />
      <button className="button" onClick={() => void copy()}>
        Copy the message
      </button>
      <p className="small muted" role="status">
        {copied === 'copied' && 'Copied: paste it where you write to the lifter.'}
        {copied === 'not copied' && 'It is selected: copy it with Ctrl + C.'}
      </p>
    </>
  );
}

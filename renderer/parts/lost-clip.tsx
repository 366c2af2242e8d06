import { useEffect, useRef, useState } from 'react';
import {
  Button,
  Dialog,
  FileTrigger,
  Heading,
  Modal,
  ModalOverlay,
  ProgressBar,
} from 'react-aria-components';
import { DeskFailure, type LostClip } from '../bridge/bridge.ts';
import { bridge, clipIsBack, dismissTrouble, useDesk } from '../state/store.ts';
import './dialog.css';

/** Asks where a clip is now that is no longer where it was; takes it only where its content is the same. */
export function AskForLostClip() {
  const trouble = useDesk((desk) => desk.trouble);
  if (!trouble?.lost) return null;
  return (
    <ModalOverlay className="veil" isOpen onOpenChange={(open) => !open && dismissTrouble()}>
      <Modal className="modal">
        <Dialog className="dialog">
          <Ask key={trouble.lost.sha256} lost={trouble.lost} said={`${trouble.what} ${trouble.advice}`} />
        </Dialog>
      </Modal>
    </ModalOverlay>
  );
}

function Ask({ lost, said }: { lost: LostClip; said: string }) {
  const [share, setShare] = useState<number | null>(null);
  const [wrong, setWrong] = useState<{ what: string; advice: string } | null>(null);
  const stop = useRef(new AbortController());
  useEffect(() => {
    const { current } = stop;
    return () => current.abort();
  }, []);
  const take = async (file: File): Promise<void> => {
    setWrong(null);
    setShare(0);
    try {
      const found = await bridge.transport.sendClip(file, setShare, stop.current.signal);
      if (found.sha256 === lost.sha256) return clipIsBack();
      setWrong({
        what: `${file.name} is another file.`,
        advice: `Its content is not that of ${lost.name}. Look for the original, or take a new clip in on Bring in.`,
      });
    } catch (error) {
      if (error instanceof DeskFailure && error.kind !== 'stopped') setWrong(error);
    } finally {
      setShare(null);
    }
  };
  return (
    <>
      <Heading slot="title">Where is {lost.name}?</Heading>
      <p>{said}</p>
      <p className="muted small">It may have another name by now: it is known by its content.</p>
      {share !== null && (
        <ProgressBar className="progress" value={100 * share} aria-label="Comparing the content">
          {({ percentage }) => <div style={{ width: `${percentage ?? 0}%` }} />}
        </ProgressBar>
      )}
      {wrong && (
        <p role="alert">
          <strong>{wrong.what}</strong> {wrong.advice}
        </p>
      )}
      <div className="go-on">
        <FileTrigger
          acceptedFileTypes={['video/*', '.mkv', '.avi', '.mov', '.mp4', '.webm']}
          onSelect={(files) => void (files?.[0] && take(files[0]))}
        >
          <Button className="button first" isDisabled={share !== null}>
            Choose the file
          </Button>
        </FileTrigger>
        <Button className="button" onPress={dismissTrouble}>
          Not now
        </Button>
      </div>
    </>
  );
}

import { useState } from 'react';
import {
  Button,
  Dialog,
  DialogTrigger,
  Heading,
  Modal,
  ModalOverlay,
  Radio,
  RadioGroup,
} from 'react-aria-components';
import type { Bodies } from '../../../../shared-lib/contract/bodies.ts';
import {
  bodyEventsOf,
  bodyEventSchema,
  jointSchema,
  jointsOf,
} from '../../../../shared-lib/contract/body.ts';
import type { BodyEvent, Joint } from '../../../../shared-lib/contract/body.ts';
import type { LineUp } from '../../../../shared-lib/contract/line-up.ts';
import { sideNameSchema, sideNames, type SideName } from '../../../../shared-lib/contract/review.ts';
import { eventWords } from '../../../../shared-lib/body/sentences.ts';
import { followPoint, removeMark, setMark, useBodies } from '../../../state/bodies.ts';
import { useDesk } from '../../../state/store.ts';
import { MarkPicture } from './mark-picture.tsx';
import { WhatIsSeen } from './what-is-seen.tsx';
import './body.css';

const sideWords: Record<SideName, string> = { reference: 'Reference', today: 'Today' };

/** The body, the rules and the load of the pair that is lined up, in a dialog of their own. */
export function BodyButton({ lineUp }: { lineUp: LineUp }) {
  return (
    <DialogTrigger>
      <Button className="button">Body and rules</Button>
      <ModalOverlay className="body-veil" isDismissable>
        <Modal className="body-modal">
          <Dialog className="body-dialog">
            {({ close }) => (
              <>
                <header>
                  <Heading slot="title">Body, rules and load</Heading>
                  <Button className="button" onPress={close}>
                    Close
                  </Button>
                </header>
                <BodyDesk lineUp={lineUp} />
              </>
            )}
          </Dialog>
        </Modal>
      </ModalOverlay>
    </DialogTrigger>
  );
}

function BodyDesk({ lineUp }: { lineUp: LineUp }) {
  const bodies = useBodies();
  const review = useDesk((desk) => desk.review!.now);
  const [side, setSide] = useState<SideName>('today');
  const [event, setEvent] = useState<BodyEvent>('start');
  const [joint, setJoint] = useState<Joint>(jointsOf[review.lift][0]);
  return (
    <div className="body-columns">
      <div className="body-marking">
        <Choice
          label="Whose body"
          value={side}
          options={sideNames.map((name) => [name, sideWords[name]])}
          onChange={(name) => setSide(sideNameSchema.parse(name))}
        />
        <Choice
          label="Moment"
          value={event}
          options={bodyEventsOf[review.lift].map((name) => [name, eventWords[name]])}
          onChange={(name) => setEvent(bodyEventSchema.parse(name))}
        />
        <Choice
          label="Joint to mark"
          value={joint}
          options={jointsOf[review.lift].map((name) => [
            name,
            review[side]?.body.some((m) => m.event === event && m.joint === name) ? `${name} ✓` : name,
          ])}
          onChange={(name) => setJoint(jointSchema.parse(name))}
        />
        {bodies ? (
          <Marking {...{ bodies, lineUp, side, event, joint }} />
        ) : (
          <p className="muted">Looking for the moments of both reps…</p>
        )}
      </div>
      {bodies && <WhatIsSeen bodies={bodies} />}
    </div>
  );
}

function Marking({
  bodies,
  lineUp,
  side,
  event,
  joint,
}: {
  bodies: Bodies;
  lineUp: LineUp;
  side: SideName;
  event: BodyEvent;
  joint: Joint;
}) {
  const entry = useDesk((desk) => desk.review!.now[side])!;
  const moment = bodies.moments[side].find((m) => m.event === event);
  if (!moment) {
    return (
      <p className="muted">
        {event === 'knee'
          ? 'Mark the knee at the start first: then it is known when the bar passes it.'
          : `This rep has no moment “${eventWords[event]}”.`}
      </p>
    );
  }
  const { widthPx, heightPx } = lineUp[side].clip.media;
  const marks = entry.body.filter((m) => m.event === event);
  const mark = marks.find((m) => m.joint === joint);
  const isFollowed = entry.points.some((p) => p.joint === joint);
  return (
    <>
      <MarkPicture
        sha256={entry.clip.sha256}
        frame={moment.frame}
        {...{ widthPx, heightPx, joint, marks }}
        label={`${sideWords[side]} ${eventWords[event]}: click where the ${joint} is; arrow keys move its mark, Delete takes it away`}
        onMark={({ xPx, yPx }) => setMark(side, event, joint, moment.frame, xPx, yPx)}
        onRemove={() => removeMark(side, event, joint)}
      />
      <p className="body-do">
        <Button
          className="button"
          isDisabled={!mark && !isFollowed}
          onPress={() => {
            if (isFollowed || !mark) followPoint(side, joint, null);
            else {
              const { frame, xPx, yPx } = mark;
              followPoint(side, joint, { joint, frame, xPx, yPx });
            }
          }}
        >
          {isFollowed ? `Stop following the ${joint}` : `Follow the ${joint} through the rep`}
        </Button>
        <span className="small muted">Mark the near side. Marks are yours: the program proposes none.</span>
      </p>
    </>
  );
}

function Choice({
  label,
  value,
  options,
  onChange,
}: {
  label: string;
  value: string;
  options: readonly (readonly [name: string, words: string])[];
  onChange: (name: string) => void;
}) {
  return (
    <RadioGroup aria-label={label} value={value} onChange={onChange} orientation="horizontal">
      <div className="choices">
        {options.map(([name, words]) => (
          <Radio key={name} value={name} className="choice">
            {words}
          </Radio>
        ))}
      </div>
    </RadioGroup>
  );
}

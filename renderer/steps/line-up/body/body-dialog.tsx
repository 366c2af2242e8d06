import { useEffect, useState, type ReactNode } from 'react';
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
import { Notices } from '../../../parts/notices.tsx';
import { followPoint, removeMark, setMark, useBodies } from '../../../state/bodies.ts';
import { awaitProposals, lookThrough, sightKey, sightsOf, useProposals } from '../../../state/proposals.ts';
import { useDesk } from '../../../state/store.ts';
import { MarkPicture } from './mark-picture.tsx';
import { ProposedJoints } from './proposed-joints.tsx';
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
                <Notices />
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
  useEffect(awaitProposals, []);
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
            review[side]?.body.some((m) => m.event === event && m.joint === name) ? (
              <>
                {name} <span aria-hidden>✓</span>
                <span className="unseen">, marked</span>
              </>
            ) : (
              name
            ),
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
  const review = useDesk((desk) => desk.review!.now);
  const entry = review[side]!;
  const moment = bodies.moments[side].find((m) => m.event === event);
  const sight = moment?.view
    ? { sha256: entry.clip.sha256, frame: moment.frame, lift: review.lift, view: moment.view }
    : null;
  const proposals = useProposals(sight);
  const first = sight && sightKey(sight);
  useEffect(() => lookThrough(sightsOf(bodies, review, first)), [bodies, review, first]);
  if (!moment) {
    return (
      <p className="muted">
        {event === 'knee'
          ? 'Mark the knee at the start first: then it is known when the bar passes it.'
          : `This rep has no moment “${eventWords[event]}”.`}
      </p>
    );
  }
  const { media } = lineUp[side].clip;
  const marks = entry.body.filter((m) => m.event === event);
  const waiting = proposals.filter((p) => !marks.some((m) => m.joint === p.joint));
  const mark = marks.find((m) => m.joint === joint);
  const isFollowed = entry.points.some((p) => p.joint === joint);
  return (
    <>
      <MarkPicture
        {...{ media, joint, marks, proposals }}
        frame={moment.frame}
        alt={`${sideWords[side]} ${eventWords[event]}`}
        onMark={({ xPx, yPx }) => setMark(side, event, joint, moment.frame, xPx, yPx)}
        onRemove={() => removeMark(side, event, joint)}
      />
      {sight && <ProposedJoints {...{ sight, side, event, waiting }} marked={marks.map((m) => m.joint)} />}
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
        <span className="small muted">
          Click where the near side’s {joint} is; arrow keys move its handle, with Shift farther, and Delete
          takes the mark away.
        </span>
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
  options: readonly (readonly [name: string, words: ReactNode])[];
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

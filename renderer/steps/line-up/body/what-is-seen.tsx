import type { Bodies } from '../../../../shared-lib/contract/bodies.ts';
import { sideNames } from '../../../../shared-lib/contract/review.ts';

/** What the marks, the followed points, the rules and the load say, as sentences. */
export function WhatIsSeen({ bodies }: { bodies: Bodies }) {
  const shifts = sideNames.flatMap((side) =>
    bodies.points[side].flatMap(({ joint, shifts: all }) =>
      all.map(({ when, sentence }) => ({ key: `${side} ${joint} ${when}`, side, sentence })),
    ),
  );
  return (
    // It scrolls: the keys must be able to reach it.
    // eslint-disable-next-line jsx-a11y/no-noninteractive-tabindex
    <div className="body-said" role="region" aria-label="What is seen" tabIndex={0}>
      <section aria-label="The body">
        <h3>The body</h3>
        {bodies.changes.length === 0 ? (
          <p className="muted">
            Mark a joint in the picture: heel and toe for where the bar stands over the foot, hip and shoulder
            for the trunk, hip crease and top of knee for depth.
          </p>
        ) : (
          <ul>
            {bodies.changes.map(({ event, name, sentence }) => (
              <li key={`${event} ${name}`}>{sentence}</li>
            ))}
          </ul>
        )}
        {shifts.length > 0 && (
          <ul>
            {shifts.map(({ key, side, sentence }) => (
              <li key={key}>
                {side === 'today' ? 'Today: ' : 'Reference: '}
                {sentence}
              </li>
            ))}
          </ul>
        )}
      </section>
      <section aria-label="How it was filmed">
        <h3>How it was filmed</h3>
        {bodies.views.map((sentence) => (
          <p key={sentence}>{sentence}</p>
        ))}
      </section>
      <section aria-label="The set-up">
        <h3>The set-up</h3>
        <ul>
          {bodies.setUp.map((sentence) => (
            <li key={sentence}>{sentence}</li>
          ))}
        </ul>
      </section>
      <section aria-label="What the load explains">
        <h3>What the load explains</h3>
        <p>{bodies.load}</p>
      </section>
      <section aria-label="What referees look at">
        <h3>What referees look at</h3>
        <p className="small">{bodies.authority}</p>
        {bodies.rules.map((rule) => (
          <article key={rule.name} className="rule">
            <h4>{rule.name}</h4>
            <p>{rule.looksAt}</p>
            {rule.differs && <p className="small muted">Federations differ: {rule.differs}</p>}
            {rule.shows.map((sentence) => (
              <p key={sentence} className="rule-shows">
                This clip: {sentence}
              </p>
            ))}
            <p className="small muted">Cannot be seen: {rule.cannotShow}</p>
          </article>
        ))}
      </section>
    </div>
  );
}

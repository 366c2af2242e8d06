import { useState } from 'react';
import { Button, Menu, MenuItem, MenuTrigger, Popover } from 'react-aria-components';
import type { ReviewSummary } from '../../shared-lib/contract/review.ts';
import { texts } from '../../shared-lib/texts/texts.ts';
import { removeReview, renameReview } from '../state/review-list.ts';
import { openReview } from '../state/store.ts';

const day = new Intl.DateTimeFormat(undefined, { dateStyle: 'medium' });
const clipWords = ['no clips yet', 'one clip', 'two clips'] as const;

/** One review of the list: opened by a press, renamed and removed from a menu beside it. */
export function ReviewRow({ review }: { review: ReviewSummary }) {
  const { id, title, lift, lifter, madeAt, clips, trouble } = review;
  const [draft, setDraft] = useState<string | null>(null);
  const name = title || 'Unnamed review';
  const keep = (): void => {
    const wanted = draft?.trim() ?? '';
    setDraft(null);
    if (wanted !== '' && wanted !== title) void renameReview(review, wanted);
  };
  return (
    <li className="review-row">
      {draft === null ? (
        <button className="review-open" disabled={trouble !== null} onClick={() => void openReview(id)}>
          <strong>{name}</strong>
          <span>{[lifter.name, texts.measures.liftTitles[lift]].filter(Boolean).join(' · ')}</span>
          <span className="muted small">
            {trouble ?? `${day.format(new Date(madeAt))} · ${clipWords[clips] ?? ''}`}
          </span>
        </button>
      ) : (
        <input
          className="review-name"
          aria-label={`New name of ${name}`}
          value={draft}
          maxLength={200}
          // The menu that asked for the name has closed: the hand goes on in the field.
          ref={(field) => field?.focus()}
          onChange={({ target }) => setDraft(target.value)}
          onBlur={keep}
          onKeyDown={({ key }) => {
            if (key === 'Enter') keep();
            if (key === 'Escape') setDraft(null);
          }}
        />
      )}
      <MenuTrigger>
        <Button className="button bare" aria-label={`More for ${name}`}>
          ⋯
        </Button>
        <Popover className="menu-popover" placement="bottom end">
          <Menu className="menu" aria-label={`More for ${name}`}>
            <MenuItem isDisabled={trouble !== null} onAction={() => setDraft(title)}>
              Rename
            </MenuItem>
            <MenuItem isDisabled={trouble !== null} onAction={() => void removeReview(review)}>
              Remove
            </MenuItem>
          </Menu>
        </Popover>
      </MenuTrigger>
    </li>
  );
}

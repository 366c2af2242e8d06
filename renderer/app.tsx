import { useEffect } from 'react';
import { steps, type Step } from '../shared-lib/contract/review.ts';
import { Frame } from './frame.tsx';
import { listReviews, openReview, useDesk } from './state/store.ts';
import { mirrorMenu } from './state/menu-list.ts';
import { useKeys } from './state/keys.ts';
import { BringIn } from './steps/bring-in/bring-in.tsx';
import { Follow } from './steps/follow/follow.tsx';
import { HandBack } from './steps/hand-back/hand-back.tsx';
import { LineUpStep } from './steps/line-up/line-up-step.tsx';
import { SetUp } from './steps/set-up/set-up.tsx';
import { Reviews } from './steps/reviews.tsx';
import { LiftersScreen } from './lifters/lifters-screen.tsx';
import { openLifter, showLifters, useLifters } from './state/lifters.ts';

const screens: Record<(typeof steps)[number], () => React.JSX.Element> = {
  'Bring in': BringIn,
  'Set up': SetUp,
  Follow,
  'Line up': LineUpStep,
  'Hand back': HandBack,
};

export function App() {
  const review = useDesk((desk) => desk.review?.now ?? null);
  const clipsBack = useDesk((desk) => desk.clipsBack);
  const lifters = useLifters(({ shown }) => shown);
  useKeys();
  useEffect(() => (window.lockstep ? mirrorMenu(window.lockstep) : undefined), []);
  useEffect(() => {
    const id = window.location.hash.slice(1);
    const [page, lifter] = id.split('/');
    if (page === 'lifters') void (lifter ? openLifter(lifter) : showLifters());
    else void (id ? openReview(id) : listReviews());
  }, []);
  if (!review) return <Frame step={null} children={lifters ? <LiftersScreen /> : <Reviews />} />;
  const step: Step = review.place.step;
  const Screen = screens[step];
  return <Frame step={step} children={<Screen key={clipsBack} />} />;
}

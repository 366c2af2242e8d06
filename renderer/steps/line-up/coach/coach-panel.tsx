import { Tab, TabList, TabPanel, Tabs } from 'react-aria-components';
import type { ReactNode } from 'react';
import type { LineUp } from '../../../../shared-lib/contract/line-up.ts';
import { Cues } from './cues.tsx';
import { Observations } from './observations.tsx';
import { Usual } from './usual.tsx';
import { Wished } from './wished.tsx';
import './coach.css';

/** What changed, and what the coach makes of it: one list at a time beside the charts. */
export function CoachPanel({
  lineUp,
  todayS,
  onShow,
  changes,
}: {
  lineUp: LineUp;
  /** Today's time at the playhead. */
  todayS: number;
  /** Takes both pictures to a moment of today's clip. */
  onShow: (todayS: number) => void;
  changes: ReactNode;
}) {
  return (
    <Tabs className="coach" keyboardActivation="manual">
      <TabList aria-label="What is found and what is said" className="coach-tabs">
        <Tab id="changes">Changes</Tab>
        <Tab id="seen">Seen</Tab>
        <Tab id="cues">Cues</Tab>
        <Tab id="usual">Usual</Tab>
        <Tab id="wished">Wished path</Tab>
      </TabList>
      <TabPanel id="changes">{changes}</TabPanel>
      <TabPanel id="seen">
        <Observations todayS={todayS} onShow={onShow} />
      </TabPanel>
      <TabPanel id="cues">
        <Cues todayS={todayS} onShow={onShow} />
      </TabPanel>
      <TabPanel id="usual">
        <Usual lineUp={lineUp} />
      </TabPanel>
      <TabPanel id="wished">
        <Wished lineUp={lineUp} />
      </TabPanel>
    </Tabs>
  );
}

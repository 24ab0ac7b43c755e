/** What the Bench shows beneath its first look, or when unfolded, as one piece: several would cost more than they spare. */
export { AlertsPast } from './alerts/alerts-past.tsx';
export { FirstSteps } from './first-steps.tsx';
export { PlateTable } from './ruler/plate-table.tsx';
export { SourcesList } from './sources-list.tsx';
export { WindingTable } from './spool/winding-table.tsx';
export { WhyBlock } from './why-block.tsx';

"""Where a clinician's numbers come from: one formula a function, with unit, range and source.

Numbers of the evidence carry their tag: `found` (read in the source), `memory` (recalled, not
verified), `derived` (computed from such), `choice` (ours, editable). Not here: any warning or
limit, and no word that a figure makes an act free of risk.
"""

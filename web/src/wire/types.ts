/*
 * Generated from the server's schema by the task "wire"; never edited by hand.
 * A test fails when this file and the schema differ.
 */

/** A time or an instant in milliseconds; instants count from 1970-01-01 UTC. */
export type Milliseconds = number & { readonly unit: 'ms' };
/** A volume in microlitres. */
export type Microlitres = number & { readonly unit: 'µL' };
/** A depth or a length in micrometres. */
export type Micrometres = number & { readonly unit: 'µm' };
/** A strength in milligrams per litre. */
export type MilligramsPerLitre = number & { readonly unit: 'mg/L' };

/** One tooth at one appointment begins. */
export interface VisitOpened {
  readonly kind: 'visit_opened';
  readonly id: string;
  readonly visit: string;
  readonly device: string;
  readonly device_seq: number;
  readonly staff: string;
  readonly occurred_at_ms: Milliseconds;
  readonly device_clock_ms: Milliseconds;
  readonly clock_error_ms: Milliseconds | null;
  readonly dated_by_hand: boolean;
  readonly course: string;
  readonly tooth: string;
  readonly label: string;
  readonly room: string;
  readonly kit: string;
  readonly operator: string | null;
  readonly canals: readonly string[];
  readonly present_at_start: readonly LeftIn[];
  readonly training: boolean;
}

/** A dressing or an irrigant that was in the tooth before the visit began. */
export interface LeftIn {
  readonly site: string;
  readonly contents: readonly Component[];
  readonly dressing: boolean;
  readonly since_ms: Milliseconds | null;
}

/** One irrigant of some contents; strength null = unknown. */
export interface Component {
  readonly irrigant: string;
  readonly concentration_mg_per_l: MilligramsPerLitre | null;
}

/** What is known of a canal from now on; every null leaves what was known untouched. */
export interface CanalSet {
  readonly kind: 'canal_set';
  readonly id: string;
  readonly visit: string;
  readonly device: string;
  readonly device_seq: number;
  readonly staff: string;
  readonly occurred_at_ms: Milliseconds;
  readonly device_clock_ms: Milliseconds;
  readonly clock_error_ms: Milliseconds | null;
  readonly dated_by_hand: boolean;
  readonly canal: string;
  readonly state: 'blocked' | 'filled' | 'left' | 'length_set' | 'located' | 'negotiated' | 'suspected' | null;
  readonly orifice_um: Micrometres | null;
  readonly working_length_um: Micrometres | null;
  readonly apical_size: number | null;
  readonly taper_um_per_mm: number | null;
  readonly reference_point: string | null;
  readonly joins: Join | null;
  readonly name: string | null;
}

/** The canal that this one runs into, and how far short of working length. */
export interface Join {
  readonly canal: string;
  readonly short_of_wl_um: Micrometres;
}

/** One question of the opening gate; `unknown` is an answer, and is not `no`. */
export interface QuestionAnswered {
  readonly kind: 'question_answered';
  readonly id: string;
  readonly visit: string;
  readonly device: string;
  readonly device_seq: number;
  readonly staff: string;
  readonly occurred_at_ms: Milliseconds;
  readonly device_clock_ms: Milliseconds;
  readonly clock_error_ms: Milliseconds | null;
  readonly dated_by_hand: boolean;
  readonly question: string;
  readonly answer: 'no' | 'unknown' | 'yes';
}

/** One filling of one barrel; a refill is a new syringe. */
export interface SyringePrepared {
  readonly kind: 'syringe_prepared';
  readonly id: string;
  readonly visit: string;
  readonly device: string;
  readonly device_seq: number;
  readonly staff: string;
  readonly occurred_at_ms: Milliseconds;
  readonly device_clock_ms: Milliseconds;
  readonly clock_error_ms: Milliseconds | null;
  readonly dated_by_hand: boolean;
  readonly syringe: string;
  readonly contents: readonly Component[];
  readonly stock: string | null;
  readonly lot: string | null;
  readonly use_by_ms: Milliseconds | null;
  readonly volume_ul: Microlitres | null;
  readonly needle_gauge: number | null;
  readonly needle_tip: 'bevelled' | 'double_side_vented' | 'flat' | 'multi_vented' | 'notched' | 'side_vented' | null;
}

/** A syringe is in the hand; the guard speaks here, before the act. */
export interface SyringePicked {
  readonly kind: 'syringe_picked';
  readonly id: string;
  readonly visit: string;
  readonly device: string;
  readonly device_seq: number;
  readonly staff: string;
  readonly occurred_at_ms: Milliseconds;
  readonly device_clock_ms: Milliseconds;
  readonly clock_error_ms: Milliseconds | null;
  readonly dated_by_hand: boolean;
  readonly syringe: string;
  readonly site: string | null;
}

/** What the barrel still holds, or that it is empty or thrown away. */
export interface SyringeRead {
  readonly kind: 'syringe_read';
  readonly id: string;
  readonly visit: string;
  readonly device: string;
  readonly device_seq: number;
  readonly staff: string;
  readonly occurred_at_ms: Milliseconds;
  readonly device_clock_ms: Milliseconds;
  readonly clock_error_ms: Milliseconds | null;
  readonly dated_by_hand: boolean;
  readonly syringe: string;
  readonly left_ul: Microlitres | null;
  readonly emptied: boolean;
  readonly discarded: boolean;
}

/** An irrigant went to a site; `occurred_at_ms` is the end of the delivery. */
export interface IrrigantDelivered {
  readonly kind: 'irrigant_delivered';
  readonly id: string;
  readonly visit: string;
  readonly device: string;
  readonly device_seq: number;
  readonly staff: string;
  readonly occurred_at_ms: Milliseconds;
  readonly device_clock_ms: Milliseconds;
  readonly clock_error_ms: Milliseconds | null;
  readonly dated_by_hand: boolean;
  readonly site: string;
  readonly syringe: string | null;
  readonly contents: readonly Component[] | null;
  readonly by: 'chamber_fill' | 'on_file' | 'point' | null;
  readonly volume_ul: Microlitres | null;
  readonly duration_ms: Milliseconds | null;
  readonly tip_um: Micrometres | null;
  readonly how: 'estimated' | 'planned' | 'read' | 'recalled' | 'timed';
  readonly guard_shown: readonly string[];
}

/** What was at a site was drawn off or blotted. */
export interface IrrigantRemoved {
  readonly kind: 'irrigant_removed';
  readonly id: string;
  readonly visit: string;
  readonly device: string;
  readonly device_seq: number;
  readonly staff: string;
  readonly occurred_at_ms: Milliseconds;
  readonly device_clock_ms: Milliseconds;
  readonly clock_error_ms: Milliseconds | null;
  readonly dated_by_hand: boolean;
  readonly site: string;
  readonly by: 'aspiration' | 'points';
  readonly to_um: Micrometres | null;
  readonly dry: 'blood' | 'exudate' | 'no' | 'yes' | null;
}

/** An agitation of what is in a canal begins. */
export interface ActivationStarted {
  readonly kind: 'activation_started';
  readonly id: string;
  readonly visit: string;
  readonly device: string;
  readonly device_seq: number;
  readonly staff: string;
  readonly occurred_at_ms: Milliseconds;
  readonly device_clock_ms: Milliseconds;
  readonly clock_error_ms: Milliseconds | null;
  readonly dated_by_hand: boolean;
  readonly canal: string;
  readonly activation: 'laser' | 'manual_dynamic' | 'negative_pressure' | 'sonic' | 'ultrasonic';
  readonly tip_um: Micrometres | null;
  readonly setting: string | null;
}

/** The latest open activation of the canal ends. */
export interface ActivationStopped {
  readonly kind: 'activation_stopped';
  readonly id: string;
  readonly visit: string;
  readonly device: string;
  readonly device_seq: number;
  readonly staff: string;
  readonly occurred_at_ms: Milliseconds;
  readonly device_clock_ms: Milliseconds;
  readonly clock_error_ms: Milliseconds | null;
  readonly dated_by_hand: boolean;
  readonly canal: string;
  readonly activation: 'laser' | 'manual_dynamic' | 'negative_pressure' | 'sonic' | 'ultrasonic';
  readonly tip_um: Micrometres | null;
  readonly setting: string | null;
}

/** An instrument worked in a canal to a length. */
export interface InstrumentUsed {
  readonly kind: 'instrument_used';
  readonly id: string;
  readonly visit: string;
  readonly device: string;
  readonly device_seq: number;
  readonly staff: string;
  readonly occurred_at_ms: Milliseconds;
  readonly device_clock_ms: Milliseconds;
  readonly clock_error_ms: Milliseconds | null;
  readonly dated_by_hand: boolean;
  readonly canal: string;
  readonly size: number | null;
  readonly taper_um_per_mm: number | null;
  readonly length_um: Micrometres | null;
  readonly motion: 'hand' | 'reciprocating' | 'rotary' | null;
}

/** A small hand file went back to length. */
export interface CanalRecapitulated {
  readonly kind: 'canal_recapitulated';
  readonly id: string;
  readonly visit: string;
  readonly device: string;
  readonly device_seq: number;
  readonly staff: string;
  readonly occurred_at_ms: Milliseconds;
  readonly device_clock_ms: Milliseconds;
  readonly clock_error_ms: Milliseconds | null;
  readonly dated_by_hand: boolean;
  readonly canal: string;
  readonly size: number | null;
  readonly taper_um_per_mm: number | null;
  readonly length_um: Micrometres | null;
  readonly motion: 'hand' | 'reciprocating' | 'rotary' | null;
}

/** A check and its result; site null = the whole tooth. */
export interface CheckDone {
  readonly kind: 'check_done';
  readonly id: string;
  readonly visit: string;
  readonly device: string;
  readonly device_seq: number;
  readonly staff: string;
  readonly occurred_at_ms: Milliseconds;
  readonly device_clock_ms: Milliseconds;
  readonly clock_error_ms: Milliseconds | null;
  readonly dated_by_hand: boolean;
  readonly what: 'cone_fit' | 'gauging' | 'glide_path' | 'isolation' | 'patency' | 'radiograph';
  readonly site: string | null;
  readonly result: string | null;
}

/** A time to be told of: the event it runs from, and the instant it is due. */
export interface TimerSet {
  readonly kind: 'timer_set';
  readonly id: string;
  readonly visit: string;
  readonly device: string;
  readonly device_seq: number;
  readonly staff: string;
  readonly occurred_at_ms: Milliseconds;
  readonly device_clock_ms: Milliseconds;
  readonly clock_error_ms: Milliseconds | null;
  readonly dated_by_hand: boolean;
  readonly timer: TimerOf;
  readonly runs_from: string;
  readonly due_at_ms: Milliseconds;
  readonly upper_limit: boolean;
}

/** What a timer is about: a canal's step and cycle. */
export interface TimerOf {
  readonly canal: string;
  readonly step: string;
  readonly cycle: number;
}

/** A person has taken note of a due timer. */
export interface TimerAcknowledged {
  readonly kind: 'timer_acknowledged';
  readonly id: string;
  readonly visit: string;
  readonly device: string;
  readonly device_seq: number;
  readonly staff: string;
  readonly occurred_at_ms: Milliseconds;
  readonly device_clock_ms: Milliseconds;
  readonly clock_error_ms: Milliseconds | null;
  readonly dated_by_hand: boolean;
  readonly timer: TimerOf;
  readonly due_at_ms: Milliseconds;
}

/** A step of the plan is declared done for a canal. */
export interface StepDone {
  readonly kind: 'step_done';
  readonly id: string;
  readonly visit: string;
  readonly device: string;
  readonly device_seq: number;
  readonly staff: string;
  readonly occurred_at_ms: Milliseconds;
  readonly device_clock_ms: Milliseconds;
  readonly clock_error_ms: Milliseconds | null;
  readonly dated_by_hand: boolean;
  readonly step: string;
  readonly cycle: number;
  readonly canal: string;
}

/** A step of the plan is left out for a canal, with the reason. */
export interface StepSkipped {
  readonly kind: 'step_skipped';
  readonly id: string;
  readonly visit: string;
  readonly device: string;
  readonly device_seq: number;
  readonly staff: string;
  readonly occurred_at_ms: Milliseconds;
  readonly device_clock_ms: Milliseconds;
  readonly clock_error_ms: Milliseconds | null;
  readonly dated_by_hand: boolean;
  readonly step: string;
  readonly cycle: number;
  readonly canal: string;
  readonly reason: string | null;
}

/** What a device said before an act: the rule, its level, what it was about. */
export interface GuardSpoke {
  readonly kind: 'guard_spoke';
  readonly id: string;
  readonly visit: string;
  readonly device: string;
  readonly device_seq: number;
  readonly staff: string;
  readonly occurred_at_ms: Milliseconds;
  readonly device_clock_ms: Milliseconds;
  readonly clock_error_ms: Milliseconds | null;
  readonly dated_by_hand: boolean;
  readonly rule: string;
  readonly level: 'caution' | 'hold' | 'note';
  readonly about: string;
  readonly sites: readonly string[];
  readonly act: string;
}

/** A hold was let go for that one act, by order of a person, for a reason. */
export interface HoldReleased {
  readonly kind: 'hold_released';
  readonly id: string;
  readonly visit: string;
  readonly device: string;
  readonly device_seq: number;
  readonly staff: string;
  readonly occurred_at_ms: Milliseconds;
  readonly device_clock_ms: Milliseconds;
  readonly clock_error_ms: Milliseconds | null;
  readonly dated_by_hand: boolean;
  readonly rule: string;
  readonly level: 'caution' | 'hold' | 'note';
  readonly about: string;
  readonly act: string;
  readonly ordered_by: string;
  readonly reason: string;
}

/** Everybody stops; the reason may come later. */
export interface TreatmentStopped {
  readonly kind: 'treatment_stopped';
  readonly id: string;
  readonly visit: string;
  readonly device: string;
  readonly device_seq: number;
  readonly staff: string;
  readonly occurred_at_ms: Milliseconds;
  readonly device_clock_ms: Milliseconds;
  readonly clock_error_ms: Milliseconds | null;
  readonly dated_by_hand: boolean;
  readonly reason: string | null;
}

/** Work goes on. */
export interface TreatmentResumed {
  readonly kind: 'treatment_resumed';
  readonly id: string;
  readonly visit: string;
  readonly device: string;
  readonly device_seq: number;
  readonly staff: string;
  readonly occurred_at_ms: Milliseconds;
  readonly device_clock_ms: Milliseconds;
  readonly clock_error_ms: Milliseconds | null;
  readonly dated_by_hand: boolean;
  readonly reason: string | null;
}

/** Something went wrong that can hurt the patient. */
export interface IncidentDeclared {
  readonly kind: 'incident_declared';
  readonly id: string;
  readonly visit: string;
  readonly device: string;
  readonly device_seq: number;
  readonly staff: string;
  readonly occurred_at_ms: Milliseconds;
  readonly device_clock_ms: Milliseconds;
  readonly clock_error_ms: Milliseconds | null;
  readonly dated_by_hand: boolean;
  readonly what: string;
  readonly site: string | null;
  readonly first_sign_at_ms: Milliseconds | null;
  readonly text: string | null;
}

/** A further line on an incident. */
export interface IncidentNoted {
  readonly kind: 'incident_noted';
  readonly id: string;
  readonly visit: string;
  readonly device: string;
  readonly device_seq: number;
  readonly staff: string;
  readonly occurred_at_ms: Milliseconds;
  readonly device_clock_ms: Milliseconds;
  readonly clock_error_ms: Milliseconds | null;
  readonly dated_by_hand: boolean;
  readonly what: string;
  readonly site: string | null;
  readonly first_sign_at_ms: Milliseconds | null;
  readonly text: string | null;
}

/** A medicament stays in the canal between visits. */
export interface DressingPlaced {
  readonly kind: 'dressing_placed';
  readonly id: string;
  readonly visit: string;
  readonly device: string;
  readonly device_seq: number;
  readonly staff: string;
  readonly occurred_at_ms: Milliseconds;
  readonly device_clock_ms: Milliseconds;
  readonly clock_error_ms: Milliseconds | null;
  readonly dated_by_hand: boolean;
  readonly site: string;
  readonly material: string;
}

/** A canal is filled for good. */
export interface CanalFilled {
  readonly kind: 'canal_filled';
  readonly id: string;
  readonly visit: string;
  readonly device: string;
  readonly device_seq: number;
  readonly staff: string;
  readonly occurred_at_ms: Milliseconds;
  readonly device_clock_ms: Milliseconds;
  readonly clock_error_ms: Milliseconds | null;
  readonly dated_by_hand: boolean;
  readonly site: string;
  readonly material: string;
}

/** Who is at the chair from now on. */
export interface TeamChanged {
  readonly kind: 'team_changed';
  readonly id: string;
  readonly visit: string;
  readonly device: string;
  readonly device_seq: number;
  readonly staff: string;
  readonly occurred_at_ms: Milliseconds;
  readonly device_clock_ms: Milliseconds;
  readonly clock_error_ms: Milliseconds | null;
  readonly dated_by_hand: boolean;
  readonly operator: string | null;
  readonly assistant: string | null;
}

/** Another kit holds from now on, for a reason. */
export interface ProtocolChanged {
  readonly kind: 'protocol_changed';
  readonly id: string;
  readonly visit: string;
  readonly device: string;
  readonly device_seq: number;
  readonly staff: string;
  readonly occurred_at_ms: Milliseconds;
  readonly device_clock_ms: Milliseconds;
  readonly clock_error_ms: Milliseconds | null;
  readonly dated_by_hand: boolean;
  readonly kit: string;
  readonly reason: string;
}

/** Words for the record. */
export interface NoteAdded {
  readonly kind: 'note_added';
  readonly id: string;
  readonly visit: string;
  readonly device: string;
  readonly device_seq: number;
  readonly staff: string;
  readonly occurred_at_ms: Milliseconds;
  readonly device_clock_ms: Milliseconds;
  readonly clock_error_ms: Milliseconds | null;
  readonly dated_by_hand: boolean;
  readonly text: string;
}

/** Another account of an earlier event: its full new payload, with its time. */
export interface EntryCorrected {
  readonly kind: 'entry_corrected';
  readonly id: string;
  readonly visit: string;
  readonly device: string;
  readonly device_seq: number;
  readonly staff: string;
  readonly occurred_at_ms: Milliseconds;
  readonly device_clock_ms: Milliseconds;
  readonly clock_error_ms: Milliseconds | null;
  readonly dated_by_hand: boolean;
  readonly entry: string;
  readonly replaces: string;
  readonly reason: string;
  readonly payload: { readonly [name: string]: unknown };
}

/** An earlier event did not happen. */
export interface EntryVoided {
  readonly kind: 'entry_voided';
  readonly id: string;
  readonly visit: string;
  readonly device: string;
  readonly device_seq: number;
  readonly staff: string;
  readonly occurred_at_ms: Milliseconds;
  readonly device_clock_ms: Milliseconds;
  readonly clock_error_ms: Milliseconds | null;
  readonly dated_by_hand: boolean;
  readonly entry: string;
  readonly replaces: string;
  readonly reason: string;
}

/** The appointment is over. */
export interface VisitClosed {
  readonly kind: 'visit_closed';
  readonly id: string;
  readonly visit: string;
  readonly device: string;
  readonly device_seq: number;
  readonly staff: string;
  readonly occurred_at_ms: Milliseconds;
  readonly device_clock_ms: Milliseconds;
  readonly clock_error_ms: Milliseconds | null;
  readonly dated_by_hand: boolean;
}

/** An event of a kind that this version does not know: kept, without effect, listed. */
export interface Unread {
  readonly kind: 'unread';
  readonly id: string;
  readonly visit: string;
  readonly device: string;
  readonly device_seq: number;
  readonly staff: string;
  readonly occurred_at_ms: Milliseconds;
  readonly device_clock_ms: Milliseconds;
  readonly clock_error_ms: Milliseconds | null;
  readonly dated_by_hand: boolean;
  readonly unread_kind: string;
}

/** What a visit is run and read by; `protocol` null = recorded without a protocol. */
export interface Kit {
  readonly format: number;
  readonly protocol: Protocol | null;
  readonly catalogue: Catalogue;
}

/** One protocol in one version. */
export interface Protocol {
  readonly protocol: string;
  readonly version: number;
  readonly title: string;
  readonly purpose: string;
  readonly source: Source;
  readonly case: Case;
  readonly cautions: readonly string[];
  readonly questions: readonly string[];
  readonly solutions: readonly Solution[];
  readonly stages: readonly Stage[];
  readonly asks: readonly Ask[];
  readonly limits: readonly Limit[];
}

/** Where a fact comes from; without a publication it says so. */
export interface Source {
  readonly kind: 'common_practice' | 'published';
  readonly cite: string | null;
}

/** What the protocol is written for. */
export interface Case {
  readonly apex: 'any' | 'mature' | 'open';
  readonly pressure: 'allowed' | 'none';
  readonly visits: number;
}

/** What the clinic draws into a syringe, by the protocol's own short name. */
export interface Solution {
  readonly solution: string;
  readonly contents: readonly SolutionComponent[];
}

/** One irrigant of a solution. */
export interface SolutionComponent {
  readonly irrigant: string;
  readonly concentration_mg_per_l: MilligramsPerLitre | null;
}

/** A run of steps; `per_instrument` runs again for each instrument, `cycles` a fixed number. */
export interface Stage {
  readonly stage: string;
  readonly kind: 'close' | 'dress' | 'fill' | 'open' | 'secure' | 'shape';
  readonly title: string;
  readonly part: 'apical_third' | 'coronal_two_thirds' | 'whole';
  readonly repeats: 'cycles' | 'once' | 'per_instrument';
  readonly cycles: number;
  readonly visit: number;
  readonly steps: readonly Step[];
}

/** One act of a stage; which fields it needs depends on the act (checks.py). */
export interface Step {
  readonly step: string;
  readonly act: 'activate' | 'check' | 'dress' | 'fill' | 'instrument' | 'irrigate' | 'recapitulate' | 'remove' | 'wait';
  readonly site: 'canal' | 'chamber';
  readonly solution: string | null;
  readonly on_file: boolean;
  readonly volume_ul: Microlitres | null;
  readonly contact_ms: Milliseconds | null;
  readonly contact_limit_ms: Milliseconds | null;
  readonly duration_ms: Milliseconds | null;
  readonly activation: 'laser' | 'manual_dynamic' | 'negative_pressure' | 'sonic' | 'ultrasonic' | null;
  readonly tip_short_of_wl_um: Micrometres | null;
  readonly by: 'aspiration' | 'points' | null;
  readonly check: 'cone_fit' | 'gauging' | 'glide_path' | 'isolation' | 'patency' | 'radiograph' | null;
  readonly size: number | null;
  readonly taper_um_per_mm: number | null;
  readonly motion: 'hand' | 'reciprocating' | 'rotary' | null;
  readonly material: string | null;
  readonly text: string | null;
}

/** What the clinic asks of an irrigant in each canal (a practice target, not a finding). */
export interface Ask {
  readonly irrigant: string;
  readonly visit: number | null;
  readonly contact_ms: Milliseconds | null;
  readonly last_3mm_ms: Milliseconds | null;
  readonly fresh_ms: Milliseconds | null;
  readonly activated_ms: Milliseconds | null;
  readonly volume_ul: Microlitres | null;
}

/** The clinic's upper limit on one unbroken contact of an irrigant. */
export interface Limit {
  readonly irrigant: string;
  readonly longest_run_ms: Milliseconds;
}

/** Everything the kits share. */
export interface Catalogue {
  readonly irrigants: readonly IrrigantEntry[];
  readonly pairs: readonly Pair[];
  readonly needles: readonly Needle[];
  readonly reach: Reach;
}

/** One irrigant of the catalogue: how it is drawn and what it reacts as. */
export interface IrrigantEntry {
  readonly irrigant: string;
  readonly title: string;
  readonly kind: 'acid' | 'alcohol' | 'anaesthetic' | 'antiseptic' | 'chelator' | 'dressing' | 'hypochlorite' | 'oxidant' | 'rinse' | 'solvent' | 'unknown';
  readonly reacts_as: string;
  readonly letter: string;
  readonly pattern: 'border' | 'checker' | 'crosses' | 'dashes' | 'diagonal' | 'dots' | 'grid' | 'plain' | 'rings' | 'triangles' | 'verticals' | 'waves';
  readonly hue: string;
  readonly viscous: boolean;
  readonly usual_low_mg_per_l: MilligramsPerLitre | null;
  readonly usual_high_mg_per_l: MilligramsPerLitre | null;
  readonly cautions: readonly string[];
  readonly basis: 'choice' | 'derived' | 'found' | 'memory' | 'reasoned';
  readonly source: Source;
}

/** What is known when `second` comes after `first`, and what separates them. */
export interface Pair {
  readonly first: string;
  readonly second: string;
  readonly level: 'mild' | 'ok' | 'rinse' | 'rinse_dry';
  readonly shaping_level: 'mild' | 'ok' | 'rinse' | 'rinse_dry' | null;
  readonly rinse_ul: Microlitres;
  readonly removals: number;
  readonly same_barrel: 'fresh_only' | 'never' | 'not_advised' | 'ok';
  readonly effects: readonly string[];
  readonly basis: 'choice' | 'derived' | 'found' | 'memory' | 'reasoned';
  readonly source: string | null;
}

/** Outer diameters of one gauge of tubing. */
export interface Needle {
  readonly needle_gauge: number;
  readonly outer_max_um: Micrometres;
  readonly outer_nominal_um: Micrometres | null;
  readonly basis: 'choice' | 'derived' | 'found' | 'memory' | 'reasoned';
}

/** The constants that place contents by depth. */
export interface Reach {
  readonly chamber_reach_um: Micrometres;
  readonly renew_within_ms: Milliseconds;
  readonly clearance_um: Micrometres;
  readonly unknown_tip_reach_um: Micrometres;
  readonly tips: readonly TipReach[];
  readonly activations: readonly ActivationReach[];
}

/** How far fresh solution is expected beyond a needle's tip. */
export interface TipReach {
  readonly needle_tip: 'bevelled' | 'double_side_vented' | 'flat' | 'multi_vented' | 'notched' | 'side_vented';
  readonly open_ended: boolean;
  readonly reach_um: Micrometres;
  readonly basis: 'choice' | 'derived' | 'found' | 'memory' | 'reasoned';
}

/** How far an activation is expected to work beyond its tip. */
export interface ActivationReach {
  readonly activation: 'laser' | 'manual_dynamic' | 'negative_pressure' | 'sonic' | 'ultrasonic';
  readonly reach_um: Micrometres;
  readonly draws_chamber: boolean;
  readonly basis: 'choice' | 'derived' | 'found' | 'memory' | 'reasoned';
}

export type AnyEvent =
  | VisitOpened
  | CanalSet
  | QuestionAnswered
  | SyringePrepared
  | SyringePicked
  | SyringeRead
  | IrrigantDelivered
  | IrrigantRemoved
  | ActivationStarted
  | ActivationStopped
  | InstrumentUsed
  | CanalRecapitulated
  | CheckDone
  | TimerSet
  | TimerAcknowledged
  | StepDone
  | StepSkipped
  | GuardSpoke
  | HoldReleased
  | TreatmentStopped
  | TreatmentResumed
  | IncidentDeclared
  | IncidentNoted
  | DressingPlaced
  | CanalFilled
  | TeamChanged
  | ProtocolChanged
  | NoteAdded
  | EntryCorrected
  | EntryVoided
  | VisitClosed;

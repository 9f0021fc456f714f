/**
 * What the clinic's server answers and what the device keeps, beside the events themselves.
 *
 * Wire fields keep their spelling.
 */

export type Role = "assistant" | "dentist" | "lead" | "administrator";
export type NotationName = "iso3950" | "universal" | "quadrant";

export interface Room {
  readonly room: string;
  readonly title: string;
}

export interface StaffMember {
  readonly staff: string;
  readonly title: string;
  readonly role: Role;
}

export interface Clinic {
  readonly clinic: string;
  readonly title: string;
  readonly zone: string;
  readonly epoch: string;
  readonly rooms: readonly Room[];
  readonly staff: readonly StaffMember[];
  readonly notation_default: NotationName;
}

export interface Head {
  readonly seq: number;
  readonly digest: string;
}

export interface VisitRow {
  readonly visit: string;
  readonly course: string;
  readonly tooth: string;
  readonly label: string;
  readonly room: string;
  readonly kit: string;
  readonly protocol: string | null;
  readonly opened_at_ms: number;
  readonly closed_at_ms: number | null;
  readonly head: Head | null;
  readonly signed_seq: number | null;
  readonly training: boolean;
}

export interface ProtocolRow {
  readonly protocol: string;
  readonly version: number;
  readonly title: string;
  readonly purpose: string;
  readonly kit: string;
}

export interface KitRow {
  readonly kit: string;
  readonly protocol: string | null;
  readonly version: number | null;
  readonly title: string;
  /** False: an older version, which new visits do not pin. */
  readonly current?: boolean;
}

/** What every event carries; its payload stands beside these. */
export interface Logged {
  readonly id: string;
  readonly kind: string;
  readonly visit: string;
  readonly device: string;
  readonly device_seq: number;
  readonly staff: string;
  readonly occurred_at_ms: number;
  readonly device_clock_ms: number;
  readonly clock_error_ms: number | null;
  readonly dated_by_hand?: boolean;
  readonly [payload: string]: unknown;
}

/** One event on the server's record. */
export interface Entry {
  readonly visit: string;
  readonly seq: number;
  readonly recorded_at_ms: number | null;
  readonly digest: string | null;
  readonly event: Logged;
}

/** One line that the server has not acknowledged, byte for byte as it will be sent. */
export interface Waiting {
  readonly device_seq: number;
  readonly id: string;
  readonly visit: string;
  readonly line: string;
}

/** One line that the server refused, until a person has read why. */
export interface RefusedLine extends Waiting {
  readonly code: string;
  readonly message: string | null;
  readonly found: string | null;
  readonly expected: string | null;
  readonly where: string | null;
  readonly refused_at_ms: number;
  readonly read: boolean;
}

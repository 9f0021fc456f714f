/** Who is at this device: one tap, and always to be seen. */

import "./staff_pick.css";
import type { JSX } from "preact";
import { clinic } from "../../../store/clinic";
import { staff, takeDevice } from "../../../store/device";
import { outbox } from "../../../store/outbox";
import { go, to } from "../../../store/route";
import type { StaffMember } from "../../../store/shapes";
import { words as shell } from "../../../strings/shell";
import { words } from "../../../strings/staff_pick";

export default function StaffPick(props: { readonly query: URLSearchParams }): JSX.Element {
  const members = clinic.value?.staff ?? [];
  const waiting = outbox.value.length;
  const next = props.query.get("then") ?? to.rooms();
  return (
    <section class="staff-pick">
      <h1>{words.title}</h1>
      <p class="soft">{members.length === 0 ? words.none : words.help}</p>
      <ul>
        {members.map((member) => (
          <li key={member.staff}>
            <Place member={member} next={next} />
          </li>
        ))}
      </ul>
      {waiting > 0 ? <p class="soft">{words.waiting(waiting)}</p> : null}
    </section>
  );
}

function Place({
  member,
  next,
}: {
  readonly member: StaffMember;
  readonly next: string;
}): JSX.Element {
  const here = staff.value === member.staff;
  const take = async (): Promise<void> => {
    await takeDevice(member.staff);
    go(next.startsWith("/") ? next : to.rooms());
  };
  return (
    <button type="button" class="press wide" aria-pressed={here} onClick={() => void take()}>
      <strong>{member.title}</strong>
      <span>{here ? words.now : shell.roles[member.role]}</span>
    </button>
  );
}

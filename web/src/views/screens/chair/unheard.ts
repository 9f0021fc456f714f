/** Devices of which the server knows that entries are still missing: the guard has not heard them. */

import { useEffect, useState } from "preact/hooks";
import { connected, server } from "../../../store/server";

const EVERY_MS = 15_000;

interface Devices {
  readonly devices?: readonly { readonly gaps: readonly unknown[] }[];
}

/** How many devices have a gap, as the server last said; asked again now and then while connected. */
export function useUnheard(visit: string): number {
  const [count, setCount] = useState(0);
  const isConnected = connected.value;
  useEffect(() => {
    if (!isConnected) return;
    const ask = (): void => {
      server()
        .get<Devices>(`/visits/${encodeURIComponent(visit)}`)
        .then((view) => setCount((view.devices ?? []).filter((one) => one.gaps.length > 0).length))
        .catch(() => undefined);
    };
    ask();
    const handle = setInterval(ask, EVERY_MS);
    return () => clearInterval(handle);
  }, [visit, isConnected]);
  return count;
}

import { useMemo } from "preact/hooks";
import type { Cycle } from "../../../api/types";
import { playing } from "../../../state/pose";
import { Charts } from "./charts";
import { go, time } from "./playing";
import { plotsOf } from "./plots";

function set(t: number): void {
  playing.value = false;
  go(t);
}

export function Curves({ cycle, axis }: { cycle: Cycle; axis: string }) {
  const plots = useMemo(() => plotsOf(cycle, axis), [cycle, axis]);
  return <Charts plots={plots} head={time} set={set} label="Position, speed, acceleration and force over the cycle" />;
}

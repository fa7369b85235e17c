import type { Mapped, SpaceMap } from "../../../api/types";
import { pose } from "../../machine/stage";
import { millimetres } from "../../machine/words";
import { cells, type Plane, textOf } from "./grid";

interface Props {
  map: SpaceMap;
  plane: Plane;
  of: Mapped;
  name: string;
}

/** Table is the map in numbers; each goes to its place. */
export function Table({ map, plane, of, name }: Props) {
  const list = cells(map, plane);
  const columns = map.counts[plane.across] ?? 1;
  const rows = map.counts[plane.up] ?? 1;
  const head = list.slice(0, columns);
  return (
    <div class="map-scroll">
      <table class="map-table">
        <caption>{`${name}; ${map.axes[plane.across]} across, ${map.axes[plane.up]} down`}</caption>
        <thead>
          <tr>
            <th scope="col">{`${map.axes[plane.up]} / ${map.axes[plane.across]}`}</th>
            {head.map((c) => (
              <th scope="col" key={c.column}>
                {millimetres(c.point.q[plane.across] ?? 0)}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {Array.from({ length: rows }, (_, k) => rows - 1 - k).map((row) => (
            <tr key={row}>
              <th scope="row">{millimetres(list[row * columns]?.point.q[plane.up] ?? 0)}</th>
              {list.slice(row * columns, (row + 1) * columns).map((c) => (
                <td key={c.index}>
                  <button type="button" onClick={() => pose(c.point.q)} title="go there">
                    {textOf(c.point, of)}
                  </button>
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

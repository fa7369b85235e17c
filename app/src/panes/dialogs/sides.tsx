import { diffComm } from "node-diff3";

interface Side {
  title: string;
  text: string;
}

interface Piece {
  same?: string[];
  left?: string[];
  right?: string[];
}

/** pieces cuts two texts into runs of equal and of different lines. */
export function pieces(left: string, right: string): Piece[] {
  return diffComm(left.split("\n"), right.split("\n")).map((c) =>
    "common" in c ? { same: c.common } : { left: c.buffer1, right: c.buffer2 },
  );
}

const around = 3;

/** Sides shows two texts beside each other; long equal runs are folded. */
export function Sides({ left, right }: { left: Side; right: Side }) {
  const all = pieces(left.text, right.text);
  return (
    <table class="sides">
      <thead>
        <tr>
          <th scope="col">{left.title}</th>
          <th scope="col">{right.title}</th>
        </tr>
      </thead>
      <tbody>
        {all.map((p, i) =>
          p.same ? (
            <Same key={i} lines={p.same} first={i === 0} last={i === all.length - 1} />
          ) : (
            <tr key={i} class="sides-other">
              <td>
                <pre>{p.left!.join("\n")}</pre>
              </td>
              <td>
                <pre>{p.right!.join("\n")}</pre>
              </td>
            </tr>
          ),
        )}
      </tbody>
    </table>
  );
}

function Same({ lines, first, last }: { lines: string[]; first: boolean; last: boolean }) {
  const head = first ? [] : lines.slice(0, around);
  const tail = last ? [] : lines.slice(Math.max(head.length, lines.length - around));
  const folded = lines.length - head.length - tail.length;
  const shown = [head.join("\n"), folded > 0 ? `    … ${folded} equal lines …` : "", tail.join("\n")]
    .filter(Boolean)
    .join("\n");
  return (
    <tr>
      <td>
        <pre>{shown}</pre>
      </td>
      <td>
        <pre>{shown}</pre>
      </td>
    </tr>
  );
}

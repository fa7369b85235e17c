import { useEffect } from "preact/hooks";
import { Button } from "../../parts/button";
import { Dialog } from "../../parts/dialog";
import { file } from "../../state/doc";
import { show } from "../../state/keys";
import { files, show as openFile, readFiles } from "../../state/start";

/** Files lists the designs of the folder. */
export function Files() {
  useEffect(() => void readFiles().catch(() => undefined), []);
  const list = files.value;
  const designs = list?.files.filter((f) => f.designs) ?? [];
  return (
    <Dialog
      title="Designs of this folder"
      onClose={() => show("")}
      foot={
        <>
          <Button onClick={() => show("new")}>New design…</Button>
          <Button onClick={() => show("")}>Close</Button>
        </>
      }
    >
      <p class="folder">{list?.folder}</p>
      <ul class="files">
        {designs.map((f) => (
          <li key={f.file}>
            <button
              type="button"
              aria-current={f.file === file.value}
              onClick={() => {
                show("");
                void openFile(f.file);
              }}
            >
              <b>{f.machine || f.file}</b>
              <span>{f.file}</span>
              <time dateTime={f.modified}>{f.modified && new Date(f.modified).toLocaleString()}</time>
            </button>
          </li>
        ))}
      </ul>
      {designs.length === 0 && <p>There is no design here yet.</p>}
    </Dialog>
  );
}

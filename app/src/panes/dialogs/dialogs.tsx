import { Button } from "../../parts/button";
import { Dialog } from "../../parts/dialog";
import { conflict, diskConflict, doc, file, link, message, reload, save, settle, text } from "../../state/doc";
import { dialog, keyList, show } from "../../state/keys";
import { NewDesign } from "../start/new-design";
import { Files } from "./files";
import { Pack } from "./pack";
import { Sides } from "./sides";
import "./dialogs.css";

/** Dialogs are all that may stand over the page. */
export function Dialogs() {
  return (
    <>
      <Gone />
      <Recovered />
      <DiskChanged />
      <Message />
      {conflict.value && <Conflicting />}
      {diskConflict.value && <SaveConflict />}
      {dialog.value === "keys" && <Keys />}
      {dialog.value === "files" && <Files />}
      {dialog.value === "new" && <NewDesign />}
      {dialog.value === "pack" && <Pack />}
    </>
  );
}

function Keys() {
  const list = keyList();
  const wheres = [...new Set(list.map((k) => k.where))];
  return (
    <Dialog title="Keys" onClose={() => show("")}>
      <div class="keys">
        {wheres.map((where) => (
          <table key={where}>
            <caption>{where}</caption>
            <tbody>
              {list
                .filter((k) => k.where === where)
                .map((k) => (
                  <tr key={k.keys + k.does}>
                    <th scope="row">
                      <kbd>{k.keys}</kbd>
                    </th>
                    <td>{k.does}</td>
                  </tr>
                ))}
            </tbody>
          </table>
        ))}
      </div>
    </Dialog>
  );
}

function Conflicting() {
  const c = conflict.value!;
  return (
    <Dialog
      wide
      title="Two windows changed the same lines"
      onClose={() => settle(c.merged)}
      foot={
        <>
          <Button onClick={() => settle(c.theirs.text)}>Take theirs</Button>
          <Button onClick={() => settle(c.mine)}>Take mine</Button>
          <Button main autofocus onClick={() => settle(c.merged)}>
            Join both, mine where they clash
          </Button>
        </>
      }
    >
      <p>
        {c.clashes === 1 ? "In one place" : `In ${c.clashes} places`} both differ from what stood there before.
        Everything else can be joined. Whichever you choose can be undone.
      </p>
      <Sides left={{ title: "Mine", text: c.mine }} right={{ title: "Theirs", text: c.theirs.text }} />
    </Dialog>
  );
}

function SaveConflict() {
  const c = diskConflict.value!;
  const close = () => {
    diskConflict.value = null;
  };
  return (
    <Dialog
      wide
      title={`${file.value} changed on disk`}
      onClose={close}
      foot={
        <>
          <Button onClick={close}>Save nothing yet</Button>
          <Button onClick={() => void reload()}>Take the file on disk</Button>
          <Button
            main
            onClick={() => {
              close();
              void save(true);
            }}
          >
            Save mine over it
          </Button>
        </>
      }
    >
      <p>Another program wrote the file since it was opened here. Taking the file on disk can be undone.</p>
      <Sides left={{ title: "Mine", text: text.value }} right={{ title: "On disk", text: c.disk }} />
    </Dialog>
  );
}

function Gone() {
  if (link.value === "ok") return null;
  const copy = () => void navigator.clipboard.writeText(text.value);
  return (
    <div class="bar bar-wrong" role="alert">
      <p>
        <b>The program does not answer.</b> What you type is kept in this window and is sent as soon as it answers. If
        it was ended, start it again and open the address that it prints; copy your text first.
      </p>
      <Button onClick={copy}>Copy the text</Button>
    </div>
  );
}

function Recovered() {
  const d = doc.value;
  if (!d?.recovered || d.saved) return null;
  return (
    <div class="bar" role="status">
      <p>
        <b>Unsaved work of an earlier run was found</b> and is shown. Save it, or go back to the file on disk.
      </p>
      <Button onClick={() => void save()}>Save it</Button>
      <Button onClick={() => void reload()}>Back to the file</Button>
    </div>
  );
}

function DiskChanged() {
  const d = doc.value;
  if (!d || d.disk === "same" || d.disk === "new" || diskConflict.value) return null;
  if (d.disk === "gone") {
    return (
      <div class="bar bar-wrong" role="status">
        <p>
          <b>{d.file} is gone from disk.</b> What you see is kept; saving writes the file anew.
        </p>
        <Button onClick={() => void save(true)}>Write it anew</Button>
      </div>
    );
  }
  if (d.disk === "unreadable") {
    return (
      <div class="bar bar-wrong" role="status">
        <p>
          <b>The file on disk is not text.</b> What you see is kept; saving writes it over {d.file}.
        </p>
        <Button onClick={() => void save(true)}>Write it anew</Button>
      </div>
    );
  }
  return (
    <div class="bar" role="status">
      <p>
        <b>{d.file} changed on disk</b> while you have changes of your own here.
      </p>
      <Button onClick={() => void save()}>Compare…</Button>
      <Button onClick={() => void reload()}>Take the file on disk</Button>
    </div>
  );
}

function Message() {
  const m = message.value;
  if (!m) return <div class="message-place" aria-live="polite" />;
  return (
    <div class="message-place" aria-live={m.tone === "wrong" ? "assertive" : "polite"}>
      <div class={`message message-${m.tone}`}>
        <p>{m.text}</p>
        <Button
          quiet
          onClick={() => {
            message.value = null;
          }}
        >
          Put away
        </Button>
      </div>
    </div>
  );
}

import { Button } from "../../parts/button";
import { Dialog } from "../../parts/dialog";
import { JobBar } from "../../parts/job";
import { ahead, doc, flush, say } from "../../state/doc";
import { latest, startJob } from "../../state/jobs";
import { judged, stale } from "../../state/judgement";
import { show } from "../../state/keys";

/** Pack makes the hand-over pack and offers it for download. */
export function Pack() {
  const job = latest("pack");
  const running = job?.state === "running";
  const start = async () => {
    try {
      await flush();
      await startJob("pack");
    } catch (e) {
      say(e instanceof Error ? e.message : String(e), "wrong");
    }
  };
  const counts = judged.value?.summary.counts;
  const open = counts ? counts.over + counts.unknown : 0;
  return (
    <Dialog
      title="Hand-over pack"
      onClose={() => show("")}
      foot={
        <>
          <Button onClick={() => show("")}>Close</Button>
          <Button main disabled={running || stale.value} onClick={() => void start()}>
            {job?.state === "done" ? "Make it again" : "Make the pack"}
          </Button>
        </>
      }
    >
      <p>
        One archive with everything that is handed over, all from this description: parts and cut lists, drawings, 3D
        models, the calculation with its working, values for commissioning and forms for acceptance.
      </p>
      {open > 0 && (
        <p class="caution">
          {open === 1 ? "1 check is" : `${open} checks are`} over the limit or unknown. The pack is marked as not
          released, on every sheet.
        </p>
      )}
      {doc.value && (!doc.value.saved || ahead.value) && <p>It is made from what you see, which is not saved yet.</p>}
      {job && <JobBar job={job} />}
      {job?.state === "done" && job.result?.download && (
        <p>
          <a class="button button-main" href={`./${job.result.download}`} download={job.result.name ?? ""}>
            Download {job.result.name}
          </a>
        </p>
      )}
    </Dialog>
  );
}

import type { Job } from "../api/types";
import { cancelJob } from "../state/jobs";
import { Button } from "./button";

/** JobBar shows how far a job is, and stops it. */
export function JobBar({ job }: { job: Job }) {
  if (job.state === "failed") return <p class="notice-wrong">It failed: {job.error}</p>;
  if (job.state === "cancelled") return <p class="quiet">Stopped.</p>;
  if (job.state === "done") return null;
  return (
    <div class="job" role="status">
      <progress aria-label={job.what || job.kind} {...(job.total > 0 && { value: job.done, max: job.total })} />
      <span>
        {job.what}
        {job.total > 0 && ` · ${job.done} of ${job.total}`}
      </span>
      <Button onClick={() => void cancelJob(job.id)}>Stop</Button>
    </div>
  );
}

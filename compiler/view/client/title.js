// Whose program this is, at the head of the page.

export function fillTitle(job) {
  const parts = [job.number, job.revision && `rev ${job.revision}`, job.material, job.machine];
  document.getElementById("title").textContent = job.title;
  document.getElementById("about").textContent = parts.filter(Boolean).join(" · ");
  document.getElementById("digests").textContent =
    `job ${job.digest} · program ${job.programDigest} · ${job.workOffset}`;
  const held = document.getElementById("held");
  held.textContent = job.held ? "Evidence: all held" : "Evidence: broken, do not run";
  held.dataset.held = String(job.held);
}

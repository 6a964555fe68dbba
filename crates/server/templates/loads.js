// Items are moved on the plan by hand or by arrow keys: the number boxes follow, and after release the server is asked
// for the new figures. Without this script the boxes and the button do the same.
const PAUSE_MS = 350;
const form = document.getElementById("loads");
// boxes are in the unit that is shown, the plan is in millimetres
const ONE_MM = Number(form.dataset.one), IN_MM = ONE_MM === 1;
const STEP_MM = IN_MM ? 10 : 0.5 * ONE_MM, LONG_STEP_MM = 10 * STEP_MM;
const figures = document.getElementById("figures");
let sending = false, again = false, pause = null, held = null;

const box = (place, field) => document.getElementById(`item-${place}-${field}`);
const number = (input) => Number(input.value.replace(",", ".").replace("\u2212", "-")) * ONE_MM;

// One at a time: what is changed meanwhile is sent when the answer is there, against what it says.
async function send() {
  clearTimeout(pause);
  if (sending) return void (again = true);
  [sending, again] = [true, false];
  const body = new URLSearchParams(new FormData(form));
  [...body.keys()].filter((name) => name === "key" || name.startsWith("new-")).forEach((name) => body.delete(name));
  figures.classList.add("waiting");
  try {
    const reply = await fetch(form.action, { method: "POST", body });
    take(new DOMParser().parseFromString(await reply.text(), "text/html"), reply, new Map(body));
  } catch {
    return form.requestSubmit();
  }
  sending = false;
  figures.classList.remove("waiting");
  if (again && !held) {
    again = false;
    send();
  }
}

// Figures and picture are replaced; a box is, unless it was changed while the answer was on its way.
function take(page, reply, sent) {
  const fresh = page.getElementById("loads");
  const rows = (of) => [...of.querySelectorAll("[name^=row-]")].map((row) => row.value).join("\n");
  if (!fresh || rows(fresh) !== rows(form)) return void location.assign(reply.url);
  for (const input of fresh.querySelectorAll("input[type=hidden]")) {
    const mine = [...form.querySelectorAll("input[type=hidden]")].find((one) => one.name === input.name);
    if (mine) mine.value = input.value;
  }
  for (const input of fresh.querySelectorAll("input[id]:not([type=checkbox])")) {
    const mine = document.getElementById(input.id);
    if (input.id.startsWith("new-") || !mine || mine.value !== sent.get(mine.name)) continue;
    mine.value = input.value;
    mine.setAttribute("aria-invalid", input.getAttribute("aria-invalid") ?? "false");
  }
  for (const row of fresh.querySelectorAll("[data-item]")) {
    form.querySelector(`[data-item="${row.dataset.item}"]`).toggleAttribute("data-drawn", row.hasAttribute("data-drawn"));
  }
  if (held) return void (again = true);
  const at = document.activeElement?.dataset?.handle;
  for (const [part, id] of [[figures, "figures"], [document.getElementById("not-saved-here"), "not-saved-here"]]) {
    part.replaceChildren(...page.getElementById(id).childNodes);
  }
  handles();
  if (at) figures.querySelector(`[data-handle="${at}"]`)?.focus({ preventScroll: true });
}

function handles() {
  const plan = document.getElementById("plan");
  if (!plan?.querySelector("svg.pict-load-plan")) return;
  for (const row of form.querySelectorAll("[data-item][data-drawn]")) {
    const handle = document.createElement("button");
    handle.type = "button";
    handle.className = "handle";
    handle.dataset.handle = row.dataset.item;
    plan.append(handle);
    place(handle);
  }
}

// The plan is to scale: right of the van is right, aft is down.
function place(handle) {
  const at = handle.dataset.handle, plan = handle.parentElement, svg = plan.querySelector("svg");
  const behind = box(at, "behind_front_axle_mm"), left = box(at, "left_of_centre_mm");
  handle.hidden = !Number.isFinite(number(left) + number(behind));
  if (handle.hidden) return;
  const point = new DOMPoint(-number(left), number(behind)).matrixTransform(svg.getScreenCTM());
  const frame = plan.getBoundingClientRect();
  handle.style.left = `${point.x - frame.left + plan.scrollLeft}px`;
  handle.style.top = `${point.y - frame.top + plan.scrollTop}px`;
  const name = form.querySelector(`[data-item="${at}"] th`).textContent.trim();
  handle.setAttribute("aria-label", `${name}: ${behind.value} / ${left.value} ${form.dataset.unit}. ${form.dataset.moves}`);
}

function move(handle, behindMm, leftMm) {
  const set = (field, mm) => (box(handle.dataset.handle, field).value = IN_MM ? String(Math.round(mm)) : String(Number((mm / ONE_MM).toFixed(3))));
  set("behind_front_axle_mm", behindMm);
  set("left_of_centre_mm", leftMm);
  place(handle);
}

const of = (handle) => ["behind_front_axle_mm", "left_of_centre_mm"].map((field) => number(box(handle.dataset.handle, field)));

figures.addEventListener("pointerdown", (event) => {
  const handle = event.target.closest(".handle");
  if (!handle || event.button !== 0) return;
  clearTimeout(pause);
  handle.setPointerCapture(event.pointerId);
  held = { handle, from: of(handle), x: event.clientX, y: event.clientY, moved: false };
});
figures.addEventListener("pointermove", (event) => {
  if (!held) return;
  const scale = held.handle.parentElement.querySelector("svg").getScreenCTM().a;
  const [behind, left] = held.from;
  held.moved = true;
  move(held.handle, behind + (event.clientY - held.y) / scale, left - (event.clientX - held.x) / scale);
});
function release(keep) {
  if (!held) return;
  const { handle, from, moved } = held;
  held = null;
  if (!keep) move(handle, ...from);
  if (again || (keep && moved)) send();
}
figures.addEventListener("pointerup", () => release(true));
figures.addEventListener("pointercancel", () => release(false));
figures.addEventListener("keydown", (event) => {
  const handle = event.target.closest(".handle");
  if (!handle) return;
  if (event.key === "Escape") return release(false);
  const way = { ArrowUp: [-1, 0], ArrowDown: [1, 0], ArrowLeft: [0, 1], ArrowRight: [0, -1] }[event.key];
  if (!way) return;
  event.preventDefault();
  const step = event.shiftKey ? LONG_STEP_MM : STEP_MM, [behind, left] = of(handle);
  move(handle, behind + way[0] * step, left + way[1] * step);
  clearTimeout(pause);
  pause = setTimeout(send, PAUSE_MS);
});
form.addEventListener("change", (event) => {
  if (event.target.closest("[data-later]") || event.target.name?.endsWith("-remove")) return;
  send();
});
addEventListener("resize", () => figures.querySelectorAll(".handle").forEach(place));
handles();

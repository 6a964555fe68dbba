// Answers at once: what is changed in the questions is sent, and the page's answer takes the place of the one before.
// Without this script the button does the same.
const main = document.getElementById("content");
let sending = null;

async function send(form) {
  sending?.abort();
  sending = new AbortController();
  const body = new URLSearchParams(new FormData(form));
  form.classList.add("waiting");
  try {
    const reply = await fetch(form.action, { method: "POST", body, signal: sending.signal });
    show(await reply.text(), reply);
  } catch (fault) {
    if (fault.name !== "AbortError") form.requestSubmit();
  }
}

function show(html, reply) {
  const next = new DOMParser().parseFromString(html, "text/html");
  const fresh = next.getElementById("content");
  if (!next.getElementById("questions")) return void location.assign(reply.url);
  const at = document.activeElement?.id;
  const unsent = document.activeElement?.tagName === "INPUT" ? document.activeElement.value : null;
  const open = [...main.querySelectorAll("details")].map((part) => part.open);
  main.replaceChildren(...fresh.childNodes);
  document.title = next.title;
  document.dispatchEvent(new Event("archgap-shown"));
  [...main.querySelectorAll("details")].forEach((part, n) => (part.open ||= open[n] ?? false));
  const box = at && document.getElementById(at);
  readySlide();
  if (box) {
    if (unsent !== null && box.type !== "range") box.value = unsent;
    box.focus({ preventScroll: true });
  }
}

// The wish on a slider: what is drawn of it moves along by itself; what follows from it is asked of the server on release.
function readySlide() {
  const [slide, box] = [document.getElementById("wish_slide"), document.getElementById("wish_drop")];
  if (!slide || !box) return;
  const wish = Number(box.value.replace(",", ".")) * slide.dataset.one;
  slide.value = Number.isFinite(wish) ? wish : 0;
  slide.dataset.from = slide.value;
  slide.parentElement.hidden = false;
}

function slideTo(slide) {
  const lower = slide.value - slide.dataset.from;
  const answer = document.getElementById("answer");
  answer.classList.toggle("sliding", lower !== 0);
  for (const part of answer.querySelectorAll(".pict-moves")) {
    const [x, y] = [part.dataset.xPerMm * lower, part.dataset.yPerMm * lower];
    part.setAttribute("transform", `translate(${x} ${y})`);
  }
  document.getElementById("wish_slide-said").textContent = `${inItsUnit(slide)} ${slide.dataset.unit}`;
}

// The slide runs in millimetres, the box is in the unit that is shown.
function inItsUnit(slide) {
  return slide.dataset.one === "1" ? slide.value : (slide.value / slide.dataset.one).toFixed(2);
}

readySlide();
main.addEventListener("input", (event) => {
  if (event.target.id !== "wish_slide") return;
  slideTo(event.target);
  document.getElementById("wish_drop").value = inItsUnit(event.target);
});
main.addEventListener("change", (event) => {
  const form = event.target.closest("#questions");
  if (form) send(form);
});
main.addEventListener("submit", (event) => {
  if (event.target.id !== "questions") return;
  event.preventDefault();
  send(event.target);
});

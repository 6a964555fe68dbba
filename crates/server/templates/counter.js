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
  [...main.querySelectorAll("details")].forEach((part, n) => (part.open ||= open[n] ?? false));
  const box = at && document.getElementById(at);
  if (box) {
    if (unsent !== null) box.value = unsent;
    box.focus({ preventScroll: true });
  }
}

main.addEventListener("change", (event) => {
  const form = event.target.closest("#questions");
  if (form) send(form);
});
main.addEventListener("submit", (event) => {
  if (event.target.id !== "questions") return;
  event.preventDefault();
  send(event.target);
});

// What is typed and not saved yet stays in this browser, for each person, form and version, until it is saved or
// dropped. Nothing of it is sent anywhere. Without this script forms work as they are.
const FIRST = "archgap-draft ";
const THREE_DAYS_MS = 3 * 24 * 60 * 60 * 1000;
const SENT = "archgap-sent";

const drafts = () => document.querySelectorAll("form[data-draft]");
const keyOf = (form) => `${FIRST}${document.body.dataset.user} ${form.dataset.draft}`;

// Boxes that somebody fills in; what the page itself sends along is none of them.
function boxes(form) {
  const typed = (box) => box.name && !["hidden", "password", "file", "submit"].includes(box.type) && box.tagName !== "BUTTON";
  return [...form.elements].filter(typed);
}

function isUntouched(box) {
  if (box.type === "radio" || box.type === "checkbox") return box.checked === box.defaultChecked;
  if (box.tagName === "SELECT") {
    const first = [...box.options].find((option) => option.defaultSelected) ?? box.options[0];
    return !first || box.value === first.value;
  }
  return box.value === box.defaultValue;
}

function typedIn(form) {
  const values = {};
  for (const box of boxes(form)) {
    if (isUntouched(box)) continue;
    if (box.type === "radio" || box.type === "checkbox") {
      if (box.checked) values[box.name] = box.value;
    } else values[box.name] = box.value;
  }
  return values;
}

function kept(key) {
  try {
    const draft = JSON.parse(localStorage.getItem(key));
    return draft && typeof draft.values === "object" && Date.now() - draft.at < THREE_DAYS_MS ? draft : null;
  } catch {
    return null;
  }
}

// A browser that keeps nothing (no room, switched off) takes nothing away either: the form still works.
function store(act) {
  try {
    act();
  } catch {}
}

function keep(form) {
  const values = typedIn(form);
  const draft = { version: form.dataset.version ?? "", at: Date.now(), values };
  const none = Object.keys(values).length === 0;
  store(() => (none ? localStorage.removeItem(keyOf(form)) : localStorage.setItem(keyOf(form), JSON.stringify(draft))));
}

function fill(form, values) {
  for (const box of boxes(form)) {
    const value = values[box.name];
    if (typeof value !== "string") continue;
    if (box.type === "radio" || box.type === "checkbox") box.checked = box.value === value;
    else box.value = value;
  }
  boxes(form).find((box) => box.name in values)?.focus();
}

function offer(form, draft) {
  const notice = document.getElementById("draft-notice").content.firstElementChild.cloneNode(true);
  const part = (name) => notice.querySelector(`[data-draft-part=${name}]`);
  part("when").textContent = new Date(draft.at).toLocaleString(document.documentElement.lang === "de" ? "de" : "en-GB", {
    dateStyle: "medium",
    timeStyle: "short",
  });
  if (draft.version === (form.dataset.version ?? "")) part("changed").remove();
  part("take").addEventListener("click", () => {
    notice.remove();
    fill(form, draft.values);
    keep(form);
  });
  part("drop").addEventListener("click", () => {
    notice.remove();
    store(() => localStorage.removeItem(keyOf(form)));
  });
  form.before(notice);
}

// A form was saved where sending it led on to another page; a refusal, a sign-in page or a lost line do not.
function dropWhatWasSaved() {
  const sent = sessionStorage.getItem(SENT);
  sessionStorage.removeItem(SENT);
  const ledOn = performance.getEntriesByType("navigation")[0]?.redirectCount > 0;
  const isOurs = document.querySelector("header nav") && !document.querySelector("main [role=alert]");
  const stillThere = [...drafts()].some((form) => keyOf(form) === sent);
  if (sent && ledOn && isOurs && !stillThere) localStorage.removeItem(sent);
}

function dropTheOld() {
  for (const key of Object.keys(localStorage)) if (key.startsWith(FIRST) && !kept(key)) localStorage.removeItem(key);
}

store(dropWhatWasSaved);
store(dropTheOld);
for (const form of drafts()) {
  const draft = kept(keyOf(form));
  // a form that came back with what was typed needs no offer
  const same = draft && Object.entries(draft.values).every(([name, value]) => new FormData(form).get(name) === value);
  if (draft && !same) offer(form, draft);
}
document.addEventListener("input", (event) => {
  const form = event.target.closest("form[data-draft]");
  if (form) keep(form);
});
// a page that was shown anew in place has saved what no longer differs
document.addEventListener("archgap-shown", () => drafts().forEach(keep));
document.addEventListener("submit", (event) => {
  const form = event.target.closest("form[data-draft]");
  if (form) store(() => sessionStorage.setItem(SENT, keyOf(form)));
});

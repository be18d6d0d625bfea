// Everything works without this file. It answers at once where a form asks
// nothing but a view, carries what is typed to the form that is sent, and copies keys.
"use strict";
(() => {
  const pause = 250;

  // A form with data-live shows its answer while it is being filled in.
  for (const form of document.querySelectorAll("form[data-live]")) {
    let timer = 0, asked = 0;
    const ask = async () => {
      const mine = ++asked;
      const url = new URL(form.action);
      url.search = new URLSearchParams(new FormData(form)).toString();
      try {
        const answer = await fetch(url, { headers: { Accept: "text/html" } });
        if (mine !== asked || !answer.ok) return;
        const fresh = new DOMParser().parseFromString(await answer.text(), "text/html").querySelectorAll(form.dataset.live);
        const old = document.querySelectorAll(form.dataset.live);
        if (!fresh.length || fresh.length !== old.length) return;
        old.forEach((part, at) => part.replaceWith(fresh[at]));
        say("The figures are up to date.");
        if (form.method === "get" && !form.dataset.keepAddress) history.replaceState(null, "", url);
      } catch { /* the button still works */ }
    };
    form.addEventListener("input", () => { clearTimeout(timer); timer = setTimeout(ask, pause); });
  }

  // What is typed in a form that is carried goes along with the other forms of the page.
  for (const form of document.querySelectorAll("form[data-carried]")) {
    form.addEventListener("input", ({ target }) => {
      for (const along of document.querySelectorAll("input[type=hidden]")) if (along.name === target.name) along.value = target.value;
    });
  }

  // Status is told to screen readers.
  const status = document.createElement("p");
  status.className = "said";
  status.setAttribute("role", "status");
  document.querySelector("main")?.append(status);
  const say = (text) => { status.textContent = ""; status.textContent = text; };

  for (const button of document.querySelectorAll("button[data-copy]")) {
    button.hidden = false;
    button.addEventListener("click", async () => {
      try {
        await navigator.clipboard.writeText(button.dataset.copy);
        say("Copied.");
        button.textContent = "Copied";
      } catch { say("Copying is not allowed here."); }
    });
  }

  // What is typed as a number is told as it is understood, once it is left.
  for (const input of document.querySelectorAll("input[data-unit]")) {
    input.addEventListener("change", async () => {
      const field = input.closest(".field");
      try {
        const answer = await fetch("/writing?" + new URLSearchParams({ text: input.value, unit: input.dataset.unit }));
        const said = new DOMParser().parseFromString(await answer.text(), "text/html").querySelector(".understood");
        field.querySelector(".understood")?.remove();
        if (said && input.value.trim()) input.parentElement.before(said);
      } catch { /* it is told when the form is sent */ }
    });
  }

  // A range is drawn beside its fields as it is typed.
  document.addEventListener("change", async (event) => {
    const range = event.target.closest("details.spread"), box = event.target.closest(".f");
    const drawn = (range || box)?.closest(".f")?.querySelector(".spread-of");
    if (!drawn) return;
    const value = (end) => box.querySelector(`.spread [name$=".${end}"]`)?.value ?? "";
    const asked = { text: box.querySelector(".in > input").value, unit: box.querySelector(".in > .unit")?.textContent ?? "" };
    for (const end of ["low", "high", "shape", "sd"]) asked[end] = value(end);
    try {
      const answer = await fetch("/writing?" + new URLSearchParams(asked));
      const fresh = new DOMParser().parseFromString(await answer.text(), "text/html").querySelector(".spread-of");
      drawn.replaceChildren(...(fresh?.childNodes ?? []));
    } catch { /* it is drawn when the form is sent */ }
  });

  // Another kind has other fields: they come at once, with what was typed.
  document.addEventListener("change", async (event) => {
    const form = event.target.closest("form"), chosen = event.target;
    if (!form?.querySelector(".edit") || !/(^|\.)(kind|form)$/.test(chosen.name)) return;
    const typed = () => new URLSearchParams(new FormData(form)).toString();
    try {
      for (let before = ""; before !== typed();) { // again where more was typed meanwhile
        before = typed();
        const answer = await fetch(form.action, { method: "post", body: new URLSearchParams(before + "&do=show") });
        const fresh = new DOMParser().parseFromString(await answer.text(), "text/html").querySelector(".edit > div");
        if (!fresh) return;
        if (before !== typed()) continue;
        const at = document.activeElement.id;
        form.querySelector(".edit > div").replaceWith(fresh);
        if (at) document.getElementById(at)?.focus();
        say("The form has the fields of this kind.");
        return;
      }
    } catch { /* the tab of the form does the same */ }
  });

  // The program itself has opened this page, so nobody has to press its button.
  if (location.pathname === "/sign-in" && location.hash === "#at-once") document.querySelector("#form input[type=hidden]")?.form.requestSubmit();

  // On a narrow screen the navigation is one row that scrolls.
  const band = document.querySelector(".band"), here = band?.querySelector("[aria-current]");
  if (here) band.scrollLeft = here.offsetLeft - band.clientWidth / 2;

  document.getElementById("problems")?.focus();
})();

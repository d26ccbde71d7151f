"use strict";
// What this does is said at the head of package page. Without it every page works with reloads.
(() => {
  const say = (text) => {
    const notice = document.getElementById("notice");
    if (!notice) return;
    notice.innerHTML = "";
    const p = document.createElement("p");
    p.className = "wrong";
    p.textContent = text;
    notice.append(p);
  };

  // take puts the marked elements of an answer into this page.
  const take = (text, ok) => {
    const answer = new DOMParser().parseFromString(text, "text/html");
    const notice = answer.getElementById("notice");
    if (notice && document.getElementById("notice").innerHTML !== notice.innerHTML) {
      document.getElementById("notice").replaceWith(notice);
    }
    if (!ok) return;
    for (const fresh of answer.querySelectorAll("[data-swap][id]")) {
      const old = document.getElementById(fresh.id);
      if (!old || old.outerHTML === fresh.outerHTML) continue;
      const focused = old.contains(document.activeElement) ? document.activeElement.id : "";
      for (const open of old.querySelectorAll("details[open][id]")) {
        const same = fresh.querySelector("#" + CSS.escape(open.id));
        if (same) same.open = true;
      }
      old.replaceWith(fresh);
      if (focused) document.getElementById(focused)?.focus({ preventScroll: true });
    }
    const poll = answer.body.dataset.poll;
    if (poll) document.body.dataset.poll = poll;
    else delete document.body.dataset.poll;
    document.title = answer.title;
    document.dispatchEvent(new Event("desk:swapped"));
  };

  let latest = 0;
  const send = async (form, submitter) => {
    const mine = ++latest;
    document.body.classList.add("waiting");
    try {
      const data = new FormData(form, submitter);
      const answer = await fetch(form.action, { method: "POST", body: new URLSearchParams(data), headers: { "X-Live": "yes" } });
      const text = await answer.text();
      if (mine === latest) take(text, answer.ok);
    } catch {
      say("Foldwright does not answer. If you have ended it, open it again.");
    } finally {
      if (mine === latest) document.body.classList.remove("waiting");
    }
  };

  document.addEventListener("change", (e) => {
    const form = e.target.form;
    if (form && form.matches("[data-live]")) send(form);
  });
  document.addEventListener("submit", (e) => {
    if (e.target.matches("[data-live]")) {
      e.preventDefault();
      send(e.target, e.submitter);
    }
  });

  // Files that are refused for their size are not sent at all.
  document.addEventListener("submit", (e) => {
    const input = e.target.querySelector("input[type=file][data-most]");
    if (!input || [...input.files].reduce((sum, f) => sum + f.size, 0) <= Number(input.dataset.most)) return;
    e.preventDefault();
    say(input.dataset.tooLarge);
  });

  // Files are dropped on a form that takes them.
  for (const kind of ["dragover", "dragleave", "drop"]) {
    document.addEventListener(kind, (e) => {
      const form = e.target.closest?.("[data-drop]") || document.querySelector("[data-drop]");
      if (!form || !e.dataTransfer || !e.dataTransfer.types.includes("Files")) return;
      e.preventDefault();
      form.classList.toggle("over", kind === "dragover");
      if (kind !== "drop") return;
      form.querySelector("input[type=file]").files = e.dataTransfer.files;
      form.requestSubmit();
    });
  }

  // A page that waits for something asks how far it is; every open page says that somebody is there.
  let asked = Date.now();
  setInterval(async () => {
    const every = Number(document.body.dataset.poll || 60000);
    if (Date.now() - asked < every) return;
    asked = Date.now();
    try {
      if (document.body.dataset.poll) {
        const answer = await fetch(location.href);
        if (answer.redirected) return location.assign(answer.url); // what was waited for is done
        if (document.body.dataset.poll) take(await answer.text(), answer.ok);
      } else {
        await fetch("/alive");
      }
    } catch {
      if (document.body.dataset.poll) say("Foldwright does not answer. If you have ended it, open it again.");
    }
  }, 250);

  // A picture that could not be made yet is asked for again.
  document.addEventListener("error", (e) => {
    const img = e.target;
    if (!(img instanceof HTMLImageElement) || !("again" in img.dataset)) return;
    const tries = Number(img.dataset.again) + 1;
    if (tries > 200) return;
    img.dataset.again = tries;
    setTimeout(() => { img.srcset = img.srcset; }, 700);
  }, true);
})();

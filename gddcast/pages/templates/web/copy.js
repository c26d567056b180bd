  const forms = [...document.querySelectorAll("form[data-pest]")];
  const day = document.getElementById("day");
  const rows = document.getElementById("rows");
  const said = document.getElementById("kept");
  /* A spreadsheet would run a cell that begins so. */
  const guarded = (text) => (/^[=+\-@\t\r']/.test(text) ? `'${text}` : text);
  const cell = (text) => (/[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);

  function answerOf(form) {
    const typed = Object.fromEntries(new FormData(form));
    const { number, pest, bed } = form.dataset;
    const seen = typed.saw === "yes";
    return {
      number, pest, bed: guarded(bed), day: day.value, stage: seen ? typed.stage : "",
      looked: typed.of, saw: seen && typed.with ? typed.with : typed.saw, count: "",
      note: guarded(typed.note),
    };
  }
  /* So many of so many, or neither. */
  function check(form) {
    const { saw, with: found, of } = form.elements;
    const odd = saw.value === "yes" && found.value !== ""
      && (of.value === "" || Number(found.value) > Number(of.value));
    of.setCustomValidity(odd ? "Plants looked at: no fewer than those with it." : "");
  }
  function tell() {
    forms.forEach(check);
    const given = forms.filter((form) => form.elements.saw.value !== "");
    const faulty = given.filter((form) => !form.checkValidity());
    const lines = given.map(answerOf)
      .map((row) => columns.map((name) => cell(row[name])).join(","));
    rows.value = lines.length ? `${[columns.join(","), ...lines].join("\n")}\n` : "";
    const save = document.getElementById("save");
    save.href = `data:text/csv;charset=utf-8,${encodeURIComponent(rows.value)}`;
    save.hidden = lines.length === 0 || faulty.length > 0 || !day.value;
    said.textContent = `${lines.length} of ${forms.length} answered.`;
    if (faulty.length) {
      said.textContent += ` To be mended: ${faulty.map((form) => form.ariaLabel).join("; ")}.`;
    }
    keep();
  }
  /* A browser may keep what a file says; where it does not, the file to save is all there is. */
  function keep() {
    const typed = forms.map((form) => [...new FormData(form)]);
    try { localStorage.setItem(place, JSON.stringify([day.value, typed])); } catch { /* so it is */ }
  }
  function restore() {
    try {
      const [on, typed] = JSON.parse(localStorage.getItem(place));
      day.value = on;
      forms.forEach((form, at) => {
        for (const [name, value] of typed[at]) form.elements[name].value = value;
      });
    } catch { /* nothing was kept */ }
  }
  for (const each of document.querySelectorAll("[data-answers]")) each.hidden = false;
  document.addEventListener("input", tell);
  for (const form of forms) form.addEventListener("submit", (event) => event.preventDefault());
  document.getElementById("clear").addEventListener("click", () => {
    forms.forEach((form) => form.reset());
    tell();
  });
  restore();
  tell();

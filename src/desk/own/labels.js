// Labels: fields that stand outside of their form tell it of changes; a field that says which ones picks its way.
HABITS.push(
  ["input[form][type=checkbox]", (input) => input.addEventListener("change", () => {
    if (input.form) input.form.dispatchEvent(new Event("change"));
  })],
  ["[data-picks]", (field) => field.addEventListener("input", () => {
    if (field.value) document.getElementById(field.dataset.picks).checked = true;
  })],
);

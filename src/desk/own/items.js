// Items: one box that ticks all of a page.
HABITS.push(["[data-all]", (box) => {
  const boxes = () => all(`input[name="${box.dataset.all}"]`, box.form);
  box.closest("[hidden]")?.removeAttribute("hidden");
  box.addEventListener("change", () => boxes().forEach((one) => { one.checked = box.checked; }));
  box.form.addEventListener("change", () => { box.checked = boxes().every((one) => one.checked); });
}]);

// The options of a product as native controls. What is drawn stays and is only brought up to date,
// so that whoever uses the keyboard keeps the focus.

import { element, tell } from "./element.js";

// More values than these are a list to open.
const MOST_RADIOS = 4;
const OTHER = "other";

export class Form {
  #drawn = "";
  #settled = {};
  // Whether another quantity than those of the ladder was asked for.
  #other = false;

  /**
   * changed(name, value, typed): is called for each change; name "quantity" is the quantity.
   * value is null where what was typed is no number that can be asked.
   */
  constructor(page, changed) {
    this.fields = page.getElementById("fields");
    this.quantities = page.getElementById("quantities");
    this.ladder = page.getElementById("quantity");
    this.free = page.getElementById("free-quantity");
    this.general = page.getElementById("faults");
    this.changed = changed;
    page.getElementById("options").addEventListener("submit", (event) => event.preventDefault());
    this.ladder.addEventListener("change", () => this.#pickQuantity());
    this.free.addEventListener("input", () => changed("quantity", numberOf(this.free), true));
  }

  /** Bring the form up to date with an answer, told by a Writer, and what was chosen. */
  update(product, choice, writer) {
    const drawn = JSON.stringify([
      product.id,
      product.options.map((option) => [option.id, option.kind, option.values?.map((v) => v.id)]),
    ]);
    const same = drawn === this.#drawn;
    if (!same) {
      this.fields.replaceChildren(...product.options.map((option) => this.#draw(option)));
      this.#drawn = drawn;
    }
    for (const option of product.options) {
      const chosen = choice.options[option.id];
      this.#refresh(option, chosen, writer);
      const moved = same && chosen === undefined && option.settled !== null &&
        this.#settled[option.id] !== option.settled;
      const now = option.values?.find((value) => value.id === option.settled)?.name;
      const note = document.getElementById(`note-${option.id}`);
      tell(note, moved ? writer.say("moved", { name: now ?? writer.count(option.settled) }) : "");
    }
    this.#settled = Object.fromEntries(product.options.map((each) => [each.id, each.settled]));
    this.#refreshQuantity(product.quantities, choice.quantity, writer);
  }

  /** Show each fault at its option; those of none of them stand above the form. */
  showFaults(faults) {
    this.clearFaults();
    const elsewhere = [];
    for (const { parameter, detail } of faults) {
      const said = document.getElementById(`${parameter}-fault`);
      if (said) {
        tell(said, [said.textContent, detail].filter(Boolean).join(" "));
        for (const control of said.closest(".field").querySelectorAll("input, select")) {
          control.setAttribute("aria-invalid", "true");
        }
      } else {
        elsewhere.push(element("li", {}, parameter ? `${parameter}: ${detail}` : detail));
      }
    }
    this.general.replaceChildren(...elsewhere);
    this.general.hidden = elsewhere.length === 0;
  }

  clearFaults() {
    document.querySelectorAll(".fault").forEach((said) => tell(said, ""));
    document.querySelectorAll("[aria-invalid]").forEach((at) => at.removeAttribute("aria-invalid"));
    this.general.hidden = true;
  }

  #draw(option) {
    const radios = option.kind === "choice" && option.values.length <= MOST_RADIOS;
    const field = element("div", { class: "field", id: `field-${option.id}` });
    const described = `${option.id}-fault note-${option.id} hint-${option.id}`;
    if (radios) {
      const group = element("fieldset", { "aria-describedby": described }, element("legend"));
      group.append(...option.values.map((value) => this.#drawRadio(option, value)));
      field.append(group);
    } else {
      const id = `option-${option.id}`;
      const control = option.kind === "choice"
        ? element("select", { id, "aria-describedby": described })
        : element("input", { id, type: "number", required: true, "aria-describedby": described });
      control.addEventListener(option.kind === "choice" ? "change" : "input", () => {
        const value = option.kind === "choice" ? control.value : numberOf(control);
        this.changed(option.id, value, option.kind !== "choice");
      });
      field.append(element("label", { for: id, class: "name" }), control);
    }
    field.append(
      element("small", { id: `hint-${option.id}` }),
      element("p", { id: `note-${option.id}`, class: "note", hidden: true }),
      element("p", { id: `${option.id}-fault`, class: "fault", hidden: true }),
    );
    return field;
  }

  #drawRadio(option, value) {
    const id = `option-${option.id}-${value.id}`;
    const name = `option-${option.id}`;
    const radio = element("input", {
      type: "radio", id, name, value: value.id, "aria-describedby": `${id}-because`,
    });
    radio.addEventListener("change", () => this.changed(option.id, value.id, false));
    const because = element("small", { id: `${id}-because` });
    return element("div", { class: "radio" }, radio, element("label", { for: id }), because);
  }

  #refresh(option, chosen, writer) {
    const field = document.getElementById(`field-${option.id}`);
    field.querySelector("legend, label.name").textContent = option.name;
    if (option.kind === "number") {
      this.#refreshNumber(option, chosen, writer);
    } else if (field.querySelector("fieldset")) {
      this.#refreshRadios(option, chosen ?? option.settled);
    } else {
      this.#refreshSelect(option, chosen ?? option.settled, writer);
    }
  }

  #refreshRadios(option, value_id) {
    for (const value of option.values) {
      const radio = document.getElementById(`option-${option.id}-${value.id}`);
      radio.checked = value.id === value_id;
      radio.disabled = !value.legal && !radio.checked;
      radio.nextElementSibling.textContent = value.name;
      tell(document.getElementById(`${radio.id}-because`), value.legal ? "" : value.because);
    }
  }

  #refreshSelect(option, value_id, writer) {
    const select = document.getElementById(`option-${option.id}`);
    const known = option.values.some((value) => value.id === value_id);
    const choices = option.values.map((value) => {
      const disabled = !value.legal && value.id !== value_id;
      const because = value.legal || !value.because ? "" : ` (${value.because})`;
      return element("option", { value: value.id, disabled }, value.name + because);
    });
    if (!known) {
      choices.unshift(element("option", { value: "", disabled: true }, writer.say("choose")));
    }
    select.replaceChildren(...choices);
    select.value = known ? value_id : "";
    // What a closed list hides is told under it, once for each reason.
    const barred = option.values.filter((value) => !value.legal && value.because);
    const told = [...new Set(barred.map((value) => value.because))].join(" ");
    tell(document.getElementById(`hint-${option.id}`), told);
  }

  #refreshNumber(option, chosen, writer) {
    const input = document.getElementById(`option-${option.id}`);
    const from = option.legal_from ?? option.from;
    const to = option.legal_to ?? option.to;
    setBounds(input, from, to, option.step);
    if (document.activeElement !== input) {
      input.value = chosen ?? option.settled ?? "";
    }
    // What is counted, in braces (UCUM), is what the option is named after; a measure has a unit.
    const unit = /^(\{.*\}|1)?$/.test(option.unit ?? "") ? "" : ` (${option.unit})`;
    const because = option.because ? ` ${option.because}` : "";
    const hint = document.getElementById(`hint-${option.id}`);
    tell(hint, `${rangeOf(input, writer)}${unit}.${because}`);
  }

  #refreshQuantity({ ladder, from, to, between }, quantity, writer) {
    const steps = ladder.map((each) => element("option", { value: each }, writer.count(each)));
    if (between) {
      steps.push(element("option", { value: OTHER }, writer.say("other_quantity")));
    } else if (!ladder.includes(Number(quantity))) {
      steps.unshift(element("option", { value: "", disabled: true }, writer.say("choose")));
    }
    const typing = document.activeElement === this.free;
    this.quantities.hidden = false;
    this.ladder.replaceChildren(...steps);
    // Who types another quantity may come past one of the ladder, and goes on typing.
    const known = ladder.includes(Number(quantity));
    this.#other = between && (!known || typing || (this.#other && quantity === this.free.value));
    this.ladder.value = this.#other ? OTHER : known ? quantity : "";
    setBounds(this.free, from, to, 1);
    this.free.required = true;
    if (!typing) {
      this.free.value = quantity ?? "";
    }
    document.getElementById("free").hidden = !this.#other;
    tell(document.getElementById("free-hint"), `${rangeOf(this.free, writer)}.`);
  }

  #pickQuantity() {
    this.#other = this.ladder.value === OTHER;
    document.getElementById("free").hidden = !this.#other;
    // The focus stays: the field comes next. Until something is typed, nothing has changed.
    if (!this.#other) {
      this.changed("quantity", this.ladder.value, false);
    }
  }
}

/** What is wrong with a number that was typed, as a fault of the service would be. */
export function faultOfNumber(name, writer) {
  const input = document.getElementById(name === "quantity" ? "free-quantity" : `option-${name}`);
  return { parameter: name, detail: writer.say("whole", { range: rangeOf(input, writer) }) };
}

/** The number in an input as the service reads numbers; null where it may not be asked. */
function numberOf(input) {
  return input.validity.valid ? String(input.valueAsNumber) : null;
}

function setBounds(input, from, to, step) {
  Object.assign(input, { min: from, max: to, step });
}

function rangeOf(input, writer) {
  const [from, to, step] = [input.min, input.max, input.step].map((each) => writer.count(each));
  return writer.say(Number(input.step) > 1 ? "from_to_step" : "from_to", { from, to, step });
}

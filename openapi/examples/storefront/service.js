// Asks the service: one question at a time counts, and every answer is told as what it is.

const PATIENCE_MS = 20000;
// Where a service that is asked too often does not say how long to wait.
const WAIT_S = 5;

/** Why there is no answer. kind: "faults", "busy", "missing" or "down". */
export class Trouble extends Error {
  constructor(kind, { faults = [], wait_s = 0 } = {}) {
    super(kind);
    this.kind = kind;
    this.faults = faults;
    this.wait_s = wait_s;
  }
}

/**
 * The base address of the service, without a slash at its end.
 * `?service=` goes before the meta element; an address that is not http or https is passed over.
 */
export function serviceAddress(page, query) {
  const named = page.querySelector('meta[name="sidelay"]')?.content ?? "";
  for (const text of [query.get("service"), named]) {
    if (text && URL.canParse(text) && /^https?:$/.test(new URL(text).protocol)) {
      return text.replace(/\/+$/, "");
    }
  }
  throw new Error('<meta name="sidelay"> has to name the service by an http or https address');
}

/** Numbers the questions. Whoever asks anew stops the question before, and makes it count no more. */
export class Turns {
  #number = 0;
  #controller = null;

  begin() {
    this.#controller?.abort();
    const controller = new AbortController();
    this.#controller = controller;
    const number = ++this.#number;
    const patience = setTimeout(() => controller.abort(), PATIENCE_MS);
    return {
      signal: controller.signal,
      isLast: () => number === this.#number,
      end: () => clearTimeout(patience),
    };
  }

  /** Stop the question that is under way, if one is; no answer to it counts. */
  stop() {
    this.#controller?.abort();
    this.#number += 1;
  }
}

export class Service {
  constructor(base) {
    this.base = base;
  }

  products(language, signal) {
    return this.#ask("/products", { language }, signal);
  }

  product(id, choice, signal) {
    return this.#ask(`/products/${encodeURIComponent(id)}`, choice, signal);
  }

  /** Prices of one quantity, or of the whole ladder where choice names none. */
  prices(id, choice, signal) {
    return this.#ask(`/products/${encodeURIComponent(id)}/price`, choice, signal);
  }

  async #ask(path, parameters, signal) {
    const query = new URLSearchParams(
      Object.entries(parameters).filter(([, value]) => value !== null && value !== undefined),
    );
    const text = query.toString();
    let answer;
    try {
      // No header of our own: so a browser asks at once, without asking leave first.
      answer = await fetch(this.base + path + (text && `?${text}`), { signal });
      if (answer.ok) {
        return await answer.json();
      }
    } catch {
      throw new Trouble("down");
    }
    throw await troubleOf(answer);
  }
}

async function troubleOf(answer) {
  if (answer.status === 422) {
    const problem = await answer.json().catch(() => ({}));
    return new Trouble("faults", { faults: problem.errors ?? [] });
  }
  if (answer.status === 429) {
    return new Trouble("busy", { wait_s: waitOf(answer.headers.get("Retry-After")) });
  }
  return new Trouble(answer.status === 404 ? "missing" : "down");
}

/** Seconds that a Retry-After asks to wait: a number of them, or a date (RFC 9110, 10.2.3). */
export function waitOf(text, now_ms = Date.now()) {
  if (text !== null && /^\d+$/.test(text.trim())) {
    return Math.max(1, Number(text));
  }
  const until_ms = Date.parse(text ?? "");
  return Number.isNaN(until_ms) ? WAIT_S : Math.max(1, Math.ceil((until_ms - now_ms) / 1000));
}

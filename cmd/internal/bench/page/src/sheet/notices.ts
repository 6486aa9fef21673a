// Short notices that wait for an answer or go by themselves.
import { find, make } from "../dom";

const box = find("notices");
const spoken = find("spoken");

/** What a notice offers to do. */
export interface Offer {
  label: string;
  act: () => void;
}

/** Shows a notice until it is answered; one of the same kind replaces it. */
export function notice(kind: string, text: string, offers: Offer[] = []): void {
  dismiss(kind);
  const close = () => dismiss(kind);
  box.append(
    make(
      "div",
      { class: "notice", "data-kind": kind },
      make("p", {}, text),
      make(
        "div",
        { class: "row" },
        ...offers.map((offer) =>
          make(
            "button",
            {
              type: "button",
              class: "strong",
              onclick: () => {
                close();
                offer.act();
              },
            },
            offer.label,
          ),
        ),
        make("button", { type: "button", onclick: close }, offers.length ? "Not now" : "Understood"),
      ),
    ),
  );
}

export function dismiss(kind: string): void {
  for (const old of box.querySelectorAll<HTMLElement>(".notice")) {
    if (old.dataset.kind === kind) old.remove();
  }
}

/** Tells those who listen to the page, and nobody else. */
export function speak(text: string): void {
  spoken.textContent = "";
  requestAnimationFrame(() => {
    spoken.textContent = text;
  });
}

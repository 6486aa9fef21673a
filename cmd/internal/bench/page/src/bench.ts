// The bench: what the server says meets what the hand does.
import { Color, Vector3 } from "three";
import { find } from "./dom";
import { Ledger, type Source } from "./dials/ledger";
import { DialPanel } from "./dials/panel";
import { Sender } from "./dials/sender";
import { showDownloads } from "./sheet/downloads";
import { showFaults } from "./sheet/faults";
import { showFigures, showTally } from "./sheet/figures";
import { showLegend } from "./sheet/legend";
import { dismiss, notice, speak } from "./sheet/notices";
import { RemarkList } from "./sheet/remarks";
import type { Controls } from "./view/controls";
import type { Viewer } from "./view/viewer";
import type { Model, Walls } from "./wire/container";
import { Fetcher, getModel, getWalls } from "./wire/library";
import { choose, Refusal, reload, save, self } from "./wire/server";
import { type Cure, type Remark, SCHEMA, type Stage, type State } from "./wire/state";
import { showWork } from "./work";

export class Bench {
  private readonly ledger = new Ledger();
  private readonly sender = new Sender(() => this.ledger.changed(), (error) => this.failed(error));
  private readonly panel = new DialPanel(find("dials"), this.ledger, (last) => this.moved(last));
  private readonly remarks = new RemarkList({
    choose: (remark, place) => this.visit(remark, place),
    leave: () => this.viewer.marks.pin([]),
    cure: (cure) => this.cure(cure),
  });
  private readonly models = new Fetcher<Model>(getModel, (model) => this.shown(model), (error) => this.failed(error));
  private readonly ghosts = new Fetcher<Model>(getModel, (model) => this.traced(model), (error) => this.failed(error));
  private readonly wallsOf = new Fetcher<Walls | null>(getWalls, (walls) => this.painted(walls), (error) => this.failed(error));
  private state: State | null = null;
  private ghost: Model | null = null;
  private connected = false;
  private saving = false;
  /** Ids of models whose walls the server measures, and whose are painted. */
  private waiting = "";
  private paintedId = "";
  private troubled = "";
  /** When dials were first turned since the last picture, for the measure of latency. */
  private turned: { at: number; seq: number } | null = null;

  private readonly undoButton = find<HTMLButtonElement>("undo");
  private readonly redoButton = find<HTMLButtonElement>("redo");
  private readonly resetButton = find<HTMLButtonElement>("reset");
  private readonly saveButton = find<HTMLButtonElement>("save");

  constructor(
    private readonly viewer: Viewer,
    private readonly controls: () => Controls,
  ) {
    this.undoButton.addEventListener("click", () => this.undo());
    this.redoButton.addEventListener("click", () => this.redo());
    this.resetButton.addEventListener("click", () => {
      if (this.ledger.reset()) this.stepped("All dials as saved.");
    });
    this.saveButton.addEventListener("click", () => void this.save());
    viewer.stage.afterFrame(() => this.timed());
  }

  /** Takes what the server says. */
  take(state: State): void {
    if (state.schema !== SCHEMA) {
      notice("schema", `The server speaks ${state.schema}, this page ${SCHEMA}: load the page again.`, [
        { label: "Load again", act: () => location.reload() },
      ]);
      return;
    }
    if (this.state && this.state.run !== state.run) return this.startedAnew();
    const reread = !!this.state && this.state.revision !== state.revision;
    const before = this.state;
    this.state = state;
    this.adopt(state, before);
    if (reread && !this.saving) speak("The recipe was read again.");
    this.sender.seen(state.seq);
    showFigures(state);
    showTally(state.remarks ?? []);
    this.remarks.show(state.remarks ?? [], state.proved !== undefined && state.proved !== state.seq);
    showFaults(state.faults ?? []);
    showDownloads(state.downloads ?? []);
    showWork(state, this.connected);
    this.trouble(state.trouble ?? "");
    this.controls().showHang(state.hang);
    if (before?.view !== state.view) this.controls().showStage(state.view ?? state.model?.state ?? "to-set");
    if (state.model) this.models.want(state.model.id);
    this.fetchGhost();
    this.fetchWalls();
    this.refresh();
  }

  /** A server started since this page was loaded does not know it: it has to be loaded again. */
  private startedAnew(): void {
    if (Object.keys(this.ledger.changed()).length === 0) {
      location.reload();
      return;
    }
    notice("run", "The server was started anew. Load the page again to go on; turned dials that were not saved go back.", [
      { label: "Load again", act: () => location.reload() },
    ]);
  }

  online(yes: boolean): void {
    this.connected = yes;
    if (this.state) showWork(this.state, yes);
  }

  choose(stage: Stage): void {
    choose(stage).catch((error) => this.failed(error));
  }

  fetchGhost(): void {
    const on = this.controls().ghost.checked;
    if (!on) this.viewer.trace(null, new Color());
    else if (this.ghost && this.ghost.id === this.state?.ghost) this.traced(this.ghost);
    else this.ghosts.want(this.state?.ghost ?? "");
  }

  fetchWalls(): void {
    const model = this.state?.model;
    if (!this.controls().walls.checked) {
      this.wallsOf.forget();
      this.viewer.paint(null);
      showLegend(null);
      return;
    }
    // Walls are measured on a model that stays.
    if (!model || this.viewer.model?.id !== model.id || this.state?.busy === "coarse") return;
    if (model.walls) this.waiting = "";
    if (this.waiting !== model.id && this.paintedId !== model.id) this.wallsOf.want(model.id);
  }

  undo(): void {
    if (this.ledger.undo()) this.stepped("Undone.");
  }

  redo(): void {
    if (this.ledger.redo()) this.stepped("Done again.");
  }

  leave(): void {
    this.remarks.clear();
  }

  async save(): Promise<void> {
    const changed = this.ledger.changed();
    if (!this.state || this.saving || Object.keys(changed).length === 0) return;
    this.saving = true;
    this.refresh();
    try {
      const state = await save(this.state.revision, changed);
      this.take(state);
      dismiss("save");
      speak("Saved to the recipe.");
    } catch (error) {
      this.notSaved(error as Error);
    } finally {
      this.saving = false;
      this.refresh();
    }
  }

  private notSaved(error: Error): void {
    if (error instanceof Refusal && error.status === 409) {
      notice("save", "The recipe changed on disk meanwhile; nothing was written. Read it again? Turned dials keep their turn.", [
        { label: "Read it again", act: () => void this.reload() },
      ]);
      return;
    }
    const first = error instanceof Refusal ? error.faults[0] : undefined;
    notice("save", `Nothing was written: ${first ? `${first.message}, line ${first.line}` : error.message}`);
  }

  private async reload(): Promise<void> {
    try {
      this.take(await reload());
    } catch (error) {
      this.failed(error as Error);
    }
  }

  /** Takes the dials of a state over into the ledger. */
  private adopt(state: State, before: State | null): void {
    let from: Source = "recipe";
    if (state.by === self && this.sender.ahead(state.seq)) from = "echo";
    if (state.by !== self && before && state.seq !== before.seq) from = "elsewhere";
    const turned = this.ledger.adopt(state.dials ?? [], from);
    this.panel.show(state.dials ?? []);
    if (turned.length > 0) speak(`Turned in another window: ${turned.join(", ")}.`);
  }

  private moved(last: boolean): void {
    this.turned ??= { at: performance.now(), seq: this.sender.seq + 1 };
    this.sender.send();
    this.refresh();
    if (last) this.panel.refresh();
  }

  private stepped(words: string): void {
    this.panel.refresh();
    this.moved(true);
    speak(words);
  }

  private cure(cure: Cure): void {
    if (!this.ledger.turn(cure.dial, cure.value)) return;
    this.ledger.settle();
    this.stepped(`${cure.dial} turned to ${cure.value}.`);
    this.panel.focus(cure.dial);
  }

  private visit(remark: Remark, place: number): void {
    const places = (remark.places ?? []).map((at) => new Vector3(...at));
    this.viewer.marks.pin(places.map((at, i) => ({ at, strong: i === place })));
    const at = places[place];
    if (at) this.viewer.flyTo(at);
  }

  private shown(model: Model): void {
    this.viewer.show(model);
    find("blank").hidden = true;
    find("frame").dataset.model = model.id; // for whoever drives the page
    if (this.controls().walls.checked) showLegend("pending");
    this.paintedId = "";
    this.controls().showModel();
    this.fetchWalls();
  }

  private traced(model: Model): void {
    this.ghost = model;
    if (this.controls().ghost.checked) this.viewer.trace(model, new Color(getComputedStyle(document.body).getPropertyValue("--tracing").trim()));
  }

  private painted(walls: Walls | null): void {
    if (!this.controls().walls.checked) return;
    if (!walls) {
      this.waiting = this.state?.model?.id ?? "";
      this.wallsOf.forget();
      showLegend("pending");
      return;
    }
    this.paintedId = walls.id;
    this.viewer.paint(walls);
    showLegend(walls);
  }

  private refresh(): void {
    const turned = Object.keys(this.ledger.changed()).length > 0;
    this.undoButton.disabled = !this.ledger.canUndo;
    this.redoButton.disabled = !this.ledger.canRedo;
    this.resetButton.disabled = !turned;
    this.saveButton.disabled = !turned || this.saving;
    this.saveButton.textContent = this.saving ? "Saving" : "Save to recipe";
    document.body.classList.toggle("turned", turned);
  }

  /** Measures from the hand to the first picture that answers it. */
  private timed(): void {
    const model = this.state?.model;
    if (!this.turned || !model || model.seq < this.turned.seq || this.viewer.model?.id !== model.id) return;
    performance.measure(`dial to ${model.quality} picture`, { start: this.turned.at });
    this.turned = null;
  }

  /** Shows what could not be done in the background, once. */
  private trouble(text: string): void {
    if (text === this.troubled) return;
    this.troubled = text;
    if (text) notice("trouble", text);
    else dismiss("trouble");
  }

  private failed(error: Error): void {
    if (!this.connected && !(error instanceof Refusal)) return; // the head says so already
    notice("failed", error.message);
  }
}

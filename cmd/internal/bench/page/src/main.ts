// The live page: puts its parts together.
import { Bench } from "./bench";
import { find, write } from "./dom";
import { keyboard } from "./keyboard";
import { showScale } from "./sheet/legend";
import { Controls } from "./view/controls";
import { Hand } from "./view/hand";
import { Measure } from "./view/measure";
import { Viewer } from "./view/viewer";
import { listen } from "./wire/events";
import { showProgress } from "./work";

/** CSS pixels from which corners and edges draw a measured point to them. */
const SNAP = 10;

function start(): void {
  const canvas = find<HTMLElement>("canvas") as HTMLCanvasElement;
  const overlay = document.querySelector<SVGElement>("#marks")!;
  const viewer = new Viewer(canvas, overlay);
  const measure = new Measure(viewer.marks, () => SNAP / viewer.stage.scale(viewer.gaze.distance), (words) => write(find("measured"), words));
  const hand = new Hand(viewer, measure);
  let controls: Controls;
  const bench = new Bench(viewer, () => controls);
  controls = new Controls(viewer, measure, {
    stage: (stage) => bench.choose(stage),
    walls: () => bench.fetchWalls(),
    ghost: () => bench.fetchGhost(),
  });
  keyboard(viewer, controls, hand, measure, bench);
  viewer.stage.afterFrame(() => {
    showScale(viewer.stage.scale(viewer.gaze.distance));
  });
  const { dataset } = find("frame"); // what follows is for whoever drives the page
  viewer.stage.afterFrame(() => {
    dataset.eye = viewer.gaze.direction.toArray().map((x) => x.toFixed(3)).join(" ");
  });
  viewer.stage.onDrawn(() => {
    const { manner, share, triangles, drawn } = viewer.stage;
    Object.assign(dataset, { manner, share, triangles, drawn });
  });
  listen({
    state: (state) => bench.take(state),
    progress: showProgress,
    connected: (yes) => bench.online(yes),
  });
}

try {
  start();
} catch (error) {
  write(find("blank"), `The drawing needs WebGL, which this browser does not offer: ${(error as Error).message}`);
  throw error;
}

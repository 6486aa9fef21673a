// Builds a reference solid with manifold-3d, writes its mesh in the plain form
// (see read.mjs) and prints its measures as JSON:
//
//   node build.mjs NAME CHORD OUT.mesh PARAMETER...
//
// CHORD is the largest distance between a chord and its arc, in mm. Corners lie
// on the true surface, so that volumes come out small by about 4/3 CHORD times
// the curved area. Everything stands about the z axis.
import Module from 'manifold-3d';
import { writePlain } from './read.mjs';

const wasm = await Module();
wasm.setup();
const { Manifold, CrossSection } = wasm;
const [name, chordArg, out, ...rest] = process.argv.slice(2);
const chord = +chordArg;

// segments of a circle of radius r; a multiple of 4, so that quarters are met
const segments = (r) => 4 * Math.ceil(Math.PI / Math.acos(1 - chord / r) / 4);
const arc = (cx, cy, r, from, to) => {
  const n = Math.max(1, Math.ceil((segments(r) * Math.abs(to - from)) / (2 * Math.PI)));
  return Array.from({ length: n + 1 }, (_, i) => {
    const a = from + ((to - from) * i) / n;
    return [cx + r * Math.cos(a), cy + r * Math.sin(a)];
  });
};
const revolve = (points, r) => new CrossSection([points]).revolve(segments(r));
const ball = (r) => revolve(arc(0, 0, r, -Math.PI / 2, Math.PI / 2), r);
const cylinder = (r, h, r2 = r) => Manifold.cylinder(h, r, r2, segments(Math.max(r, r2)));
const along = (solid, axis) => (axis === 'x' ? solid.rotate([0, 90, 0]) : solid.rotate([90, 0, 0]));

const solids = {
  // torus MAJOR MINOR
  torus: (R, r) => revolve(arc(R, 0, r, 0, 2 * Math.PI).slice(0, -1), R + r),
  // ball R
  ball: (r) => ball(r),
  // cap R H: what a plane leaves of a ball, H high, its flat face at z = 0
  cap: (R, h) => {
    const from = Math.asin((R - h) / R);
    return revolve([[0, 0], ...arc(0, h - R, R, from, Math.PI / 2)], R);
  },
  // frustum R1 R2 H, the radii at z = 0 and at z = H
  frustum: (r1, r2, h) => cylinder(r1, h, r2),
  // napkin R H: a ball with a bore along z that leaves a ring H high
  napkin: (R, h) => {
    const bore = Math.sqrt(R * R - (h * h) / 4);
    const from = Math.asin(h / 2 / R);
    return revolve([[bore, -h / 2], ...arc(0, 0, R, -from, from).slice(1, -1), [bore, h / 2]], R);
  },
  // rods R L: two rods of radius R and length L along x and y, joined
  rods: (r, l) => {
    const rod = cylinder(r, l).translate([0, 0, -l / 2]);
    return along(rod, 'x').add(along(rod, 'y'));
  },
  // bicylinder R: what two crossing cylinders have in common
  bicylinder: (r) => {
    const rod = cylinder(r, 4 * r).translate([0, 0, -2 * r]);
    return along(rod, 'x').intersect(along(rod, 'y'));
  },
  // plate W D T R X1 Y1 X2 Y2...: a box W by D by T on z = 0, centred, with
  // holes of radius R at the given points
  plate: (w, d, t, r, ...at) => {
    let solid = Manifold.cube([w, d, t], false).translate([-w / 2, -d / 2, 0]);
    for (let i = 0; i < at.length; i += 2) {
      solid = solid.subtract(cylinder(r, 3 * t).translate([at[i], at[i + 1], -t]));
    }
    return solid;
  },
};

const solid = solids[name](...rest.map(Number));
const mesh = solid.getMesh();
writePlain(out, mesh.vertProperties, mesh.triVerts);
console.log(JSON.stringify({
  status: String(solid.status()),
  volume: solid.volume(),
  area: solid.surfaceArea(),
  genus: solid.genus(),
  bodies: solid.decompose().length,
  triangles: solid.numTri(),
}));

// Clear stones: light is followed into the stone, from facet to facet, and out
// again into the room (snow white where a window is, dim below the stone). A
// stone is convex, so the next facet is the nearest plane ahead.
import { type Color, type Plane, ShaderMaterial, type Vector4 } from "three";
import { MOST } from "./facets";

/** Turns of light that are followed inside, at most. */
const MOST_TURNS = 4;

/** Turns of light that are followed inside all stones. */
const turns = { value: MOST_TURNS };

/** Draws with light that is not followed inside: as if all below the girdle were one flat mirror. */
export function glancing(draw: () => void): void {
  turns.value = 0;
  try {
    draw();
  } finally {
    turns.value = MOST_TURNS;
  }
}

const VERTEX = `
#include <clipping_planes_pars_vertex>
varying vec3 vPoint;
flat varying vec3 vFacet;
flat varying vec3 vEye;
flat varying mat3 vTurn;
void main() {
  mat4 frame = modelMatrix;
  #ifdef USE_INSTANCING
    frame = modelMatrix * instanceMatrix;
  #endif
  vPoint = position;
  vFacet = normal;
  vTurn = mat3(frame); // stones are turned and moved, never stretched
  vEye = transpose(vTurn) * (cameraPosition - frame[3].xyz);
  vec4 mvPosition = viewMatrix * frame * vec4(position, 1.0);
  gl_Position = projectionMatrix * mvPosition;
  #include <clipping_planes_vertex>
}`;

const FRAGMENT = `
#include <clipping_planes_pars_fragment>
uniform vec4 facets[${MOST}];
uniform int count;
uniform vec3 tint;
uniform float index;
uniform float size;
uniform int turns;
varying vec3 vPoint;
flat varying vec3 vFacet;
flat varying vec3 vEye;
flat varying mat3 vTurn;

float spot(vec3 d, vec3 from, float wide, float light) {
  return light * smoothstep(cos(wide), cos(0.6 * wide), dot(d, normalize(from)));
}

// What a ray that left the stone sees; here is its direction beside the stone.
vec3 room(vec3 d, vec3 here) {
  float light = 0.72 + 0.25 * d.y;
  light += spot(d, vec3(-6.0, 7.0, 6.0), 0.5, 4.5);
  light += spot(d, vec3(7.0, 3.0, 4.0), 0.4, 2.6);
  light += spot(d, vec3(0.0, 8.0, -3.0), 0.6, 1.6);
  light += spot(d, vec3(-5.0, -3.0, 6.0), 0.3, 1.8);
  light += spot(d, vec3(3.0, -6.0, 5.0), 0.28, 1.4);
  light *= 1.0 - spot(d, vec3(0.0, 0.5, 9.0), 0.26, 0.5); // the one who looks
  vec3 seen = light * vec3(1.0, 0.985, 0.96);
  return mix(seen, vec3(0.2, 0.19, 0.175), smoothstep(0.1, -0.5, here.z)); // metal below
}

float mirrored(float cosine) {
  float straight = (index - 1.0) / (index + 1.0);
  straight *= straight;
  return straight + (1.0 - straight) * pow(1.0 - clamp(cosine, 0.0, 1.0), 5.0); // Schlick 1994
}

void main() {
  #include <clipping_planes_fragment>
  vec3 way = normalize(vPoint - vEye);
  vec3 facet = normalize(vFacet);
  float back = mirrored(-dot(way, facet));
  vec3 bounced = reflect(way, facet);
  vec3 color = back * room(vTurn * bounced, bounced);

  vec3 inside = refract(way, facet, 1.0 / index);
  if (turns == 0) {
    vec3 up = reflect(inside, vec3(0.0, 0.0, 1.0));
    color += (1.0 - back) * tint * min(room(vTurn * up, up), 1.6);
    gl_FragColor = vec4(color, 1.0);
    #include <colorspace_fragment>
    return;
  }
  vec3 at = vPoint;
  float carried = 1.0 - back;
  float path = 0.0;
  for (int turn = 0; turn < ${MOST_TURNS}; turn++) {
    if (turn >= turns) break;
    float step = 1e6;
    vec3 wall = facet;
    for (int i = 0; i < ${MOST}; i++) {
      if (i >= count) break;
      float ahead = dot(facets[i].xyz, inside);
      if (ahead < 1e-4) continue;
      float far = (facets[i].w - dot(facets[i].xyz, at)) / ahead;
      if (far < step) {
        step = far;
        wall = facets[i].xyz;
      }
    }
    at += inside * max(step, 0.0);
    path += max(step, 0.0) / size;
    vec3 through = refract(inside, -wall, index);
    vec3 kept = pow(tint, vec3(0.35 + 0.55 * path));
    if (dot(through, through) > 0.0) {
      float stays = mirrored(dot(through, wall));
      color += carried * (1.0 - stays) * kept * room(vTurn * through, through);
      carried *= stays;
    }
    if (carried < 0.04) break;
    inside = reflect(inside, wall);
  }
  color += carried * pow(tint, vec3(1.2)) * 0.35;
  gl_FragColor = vec4(color, 1.0);
  #include <colorspace_fragment>
}`;

/** Material of a clear stone with facets; index is that of refraction. */
export function brilliance(tint: Color, index: number, planes: Vector4[], size: number, clip: Plane[]): ShaderMaterial {
  const padded = [...planes];
  while (padded.length < MOST) padded.push(planes[0]!);
  const material = new ShaderMaterial({
    uniforms: {
      facets: { value: padded },
      count: { value: planes.length },
      // Nothing is wholly black, or light would have no way through.
      tint: { value: [tint.r, tint.g, tint.b].map((c) => Math.max(c, 0.02)) },
      index: { value: index },
      size: { value: size },
      turns,
    },
    vertexShader: VERTEX,
    fragmentShader: FRAGMENT,
    clipping: true,
  });
  material.clippingPlanes = clip;
  return material;
}

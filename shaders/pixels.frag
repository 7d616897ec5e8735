// Surfaces of pixels: each picture element shows the mean luminance of what it covers, so that a grid neither flickers nor makes moire.
// Twin: PixelTable's levels; the exact overlap of the element's footprint (a box in grid units) with each lit square.
#include "include/view.glsl"
uniform samplerBuffer pixelRows;
in vec3 place;
in vec2 cell;
#include "layout/surface.glsl"
flat in vec4 surfaceOriginRow;
flat in vec4 surfaceEdgeURow;
flat in vec4 surfaceEdgeVRow;
flat in vec4 surfaceFirstPixelRow;
layout(location = 0) out vec4 radiance;
layout(location = 1) out vec4 albedo;
layout(location = 2) out vec4 normal;
layout(location = 3) out float distanceToEye;

float overlap(float a, float b, float from, float to) { return max(0.0, min(b, to) - max(a, from)); }

vec3 meanOver(vec2 lo, vec2 hi) {
  ivec2 grid = ivec2(surfaceColumns, surfaceRows);
  int levels = int(surfaceLevels);
  vec2 size = hi - lo;
  int level = clamp(int(ceil(log2(max(max(size.x, size.y) * 0.25, 1.0)))), 0, levels - 1);
  int first = int(surfaceFirstPixel);
  ivec2 wide = grid;
  for (int l = 0; l < level; l++) { first += wide.x * wide.y; wide = (wide + 1) / 2; }
  float step = exp2(float(level));
  float margin = level == 0 ? 0.5 * (1.0 - surfaceFill) : 0.0;
  ivec2 a = clamp(ivec2(floor(lo / step)), ivec2(0), wide - 1);
  ivec2 b = clamp(ivec2(floor(hi / step)), ivec2(0), wide - 1);
  b = min(b, a + 7);
  vec3 sum = vec3(0.0);
  for (int j = a.y; j <= b.y; j++) {
    float h = overlap(lo.y, hi.y, (float(j) + margin) * step, (float(j) + 1.0 - margin) * step);
    for (int i = a.x; i <= b.x; i++) {
      float w = overlap(lo.x, hi.x, (float(i) + margin) * step, (float(i) + 1.0 - margin) * step);
      sum += w * h * texelFetch(pixelRows, first + j * wide.x + i).rgb;
    }
  }
  if (level > 0) sum *= surfaceFill * surfaceFill;
  return sum / max(size.x * size.y, 1e-12);
}

void main() {
  vec3 p = place, n;
  vec3 shine;
  if (surfaceRadius > 0.0) {
#ifdef GLOBES
    vec3 d = normalize(place - eye.xyz);
    vec3 to = eye.xyz - surfaceOrigin;
    float b = dot(to, d), c = dot(to, to) - surfaceRadius * surfaceRadius;
    float disc = b * b - c;
    if (disc < 0.0) discard;
    p = eye.xyz + (-b - sqrt(disc)) * d;
    n = (p - surfaceOrigin) / surfaceRadius;
    shine = texelFetch(pixelRows, int(surfaceFirstPixel)).rgb;
    vec4 q = viewProjection * vec4(p, 1.0);
    gl_FragDepth = 0.5 * q.z / q.w + 0.5;
#endif
  } else {
    n = normalize(cross(surfaceEdgeV, surfaceEdgeU));
    if (dot(n, p - eye.xyz) > 0.0) {
      n = -n;
      shine = vec3(0.0);
    } else {
      vec2 grid = vec2(surfaceColumns, surfaceRows);
      // As wide as the element, or the mean of its neighbours, too: then a grid about as fine as the picture makes no moire.
      vec2 size = max(fwidth(cell), vec2(1e-3)) * (1.0 + filtering.x);
      shine = meanOver(clamp(cell - 0.5 * size, vec2(0.0), grid - 1e-3), clamp(cell + 0.5 * size, vec2(1e-3), grid));
    }
#ifdef GLOBES
    gl_FragDepth = gl_FragCoord.z;
#endif
  }
  float t = length(p - eye.xyz);
  radiance = vec4(shine * clear(t), 0.0);
  // Dark resin between and over the emitters (common practice, no source).
  albedo = vec4(vec3(0.04), 0.0);
  normal = vec4(n, 0.0);
  distanceToEye = t;
}

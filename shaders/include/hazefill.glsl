// Light that the haze scatters to the eye of what it has scattered before: between cells by distance, along the ray in even steps, as it changes slowly.
uniform samplerBuffer fillRows; // HazeFill.Towards(eye): radiance per metre, x fastest, then y, then z
uniform ivec4 fillCells;        // along x, y, z
uniform vec3 fillLow;
uniform vec3 fillFineness;      // cells a metre
uniform sampler2D distanceMap;
#define FILL_STEPS 24

vec3 fillIn(vec3 place) {
  vec3 at = clamp((place - fillLow) * fillFineness - 0.5, vec3(0.0), vec3(fillCells.xyz - 1));
  ivec3 low = min(ivec3(at), max(fillCells.xyz - 2, ivec3(0)));
  vec3 part = at - vec3(low);
  vec3 sum = vec3(0.0);
  for (int corner = 0; corner < 8; corner++) {
    ivec3 up = ivec3(corner & 1, (corner >> 1) & 1, corner >> 2), cell = min(low + up, fillCells.xyz - 1);
    vec3 near = mix(1.0 - part, part, vec3(up));
    sum += near.x * near.y * near.z * texelFetch(fillRows, (cell.z * fillCells.y + cell.y) * fillCells.x + cell.x).rgb;
  }
  return sum;
}

// A cell stands for the middle pixel of its block.
vec3 hazeFillAt(ivec2 cell) {
  ivec2 at = min(cell * HAZE_SCALE + HAZE_SCALE / 2, ivec2(size) - 1);
  vec3 ray = rayAt(vec2(at) + 0.5);
  float begin = 0.0, end = texelFetch(distanceMap, at, 0).r;
  if (face.xyz != vec3(0.0)) begin = max(0.0, -(dot(face.xyz, eye.xyz) + face.w) / dot(face.xyz, ray));
  // Within the cells.
  vec3 high = fillLow + vec3(fillCells.xyz) / fillFineness;
  vec3 along = vec3(abs(ray.x) < 1e-6 ? 1e-6 : ray.x, abs(ray.y) < 1e-6 ? 1e-6 : ray.y, abs(ray.z) < 1e-6 ? 1e-6 : ray.z);
  vec3 a = (fillLow - eye.xyz) / along, b = (high - eye.xyz) / along, first = min(a, b), last = max(a, b);
  begin = max(begin, max(first.x, max(first.y, first.z)));
  end = min(end, min(last.x, min(last.y, last.z)));
  if (end <= begin) return vec3(0.0);
  float pace = (end - begin) / float(FILL_STEPS);
  vec3 sum = vec3(0.0);
  for (int i = 0; i < FILL_STEPS; i++) {
    float t = begin + (float(i) + 0.5) * pace;
    sum += fillIn(eye.xyz + t * ray) * clear(t);
  }
  return sum * pace;
}

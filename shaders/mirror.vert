#include "include/view.glsl"
layout(location = 0) in vec3 position; // m, world
out vec3 place;

void main() {
  place = position;
  gl_Position = viewProj * vec4(position, 1.0);
  gl_ClipDistance[0] = dot(face, vec4(position, 1.0)) - (face.xyz == vec3(0.0) ? 0.0 : 1e-4);
}

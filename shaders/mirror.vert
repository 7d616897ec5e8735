#include "include/view.glsl"
layout(location = 0) in vec3 position; // m, world
layout(location = 1) in vec3 normal;   // of the front
out vec3 place;
flat out vec3 mirrorFront;

void main() {
  place = position;
  mirrorFront = normal;
  gl_Position = viewProjection * vec4(position, 1.0);
  gl_ClipDistance[0] = dot(face, vec4(position, 1.0)) - (face.xyz == vec3(0.0) ? 0.0 : 1e-4);
}

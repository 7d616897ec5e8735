// Lenses of the beams: discs whose luminance Passes/LensPass.cs works out for this eye.
#include "include/view.glsl"
layout(location = 0) in vec3 position; // m, world
layout(location = 1) in vec3 light;    // cd/m2
layout(location = 2) in vec3 front;    // unit normal
out vec3 place;
flat out vec3 shine;
flat out vec3 facing;

void main() {
  place = position;
  shine = light;
  facing = front;
  gl_Position = viewProjection * vec4(position, 1.0);
  gl_ClipDistance[0] = dot(face, vec4(position, 1.0)) - (face.xyz == vec3(0.0) ? 0.0 : 1e-4);
}

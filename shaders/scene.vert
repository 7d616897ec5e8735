#include "include/view.glsl"
layout(location = 0) in vec3 position;
layout(location = 1) in vec3 normal;
layout(location = 2) in vec4 modelX; // rows of the model matrix: X, Y, Z axes with the place in w
layout(location = 3) in vec4 modelY;
layout(location = 4) in vec4 modelZ;
layout(location = 5) in vec4 albedo;
layout(location = 7) in vec4 shine; // share thrown on, roughness
#ifdef PAINTED
layout(location = 6) in vec3 paint; // u, v and number of the picture
out vec3 onPicture;
#endif
out vec3 place;
out vec3 facing;
flat out vec3 colour;
flat out vec2 shining;
#ifdef MATT
out vec3 onMesh;
out vec3 meshNormal;
flat out int mattFirst;
#endif

void main() {
  vec4 p = vec4(position, 1.0);
  place = vec3(dot(modelX, p), dot(modelY, p), dot(modelZ, p));
  // Normals turn by the inverse transpose: the cofactors of the 3x3 part.
  vec3 x = modelX.xyz, y = modelY.xyz, z = modelZ.xyz;
  facing = vec3(dot(cross(y, z), normal), dot(cross(z, x), normal), dot(cross(x, y), normal));
  colour = albedo.rgb;
  shining = shine.xy;
#ifdef MATT
  onMesh = position;
  meshNormal = normal;
  mattFirst = int(albedo.w);
#endif
#ifdef PAINTED
  onPicture = paint;
#endif
  gl_Position = viewProjection * vec4(place, 1.0);
  gl_ClipDistance[0] = dot(face, vec4(place, 1.0)) - (face.xyz == vec3(0.0) ? 0.0 : 1e-4);
}

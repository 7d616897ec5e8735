// What stands in a beam, seen from its (image) apex.
layout(location = 0) in vec3 position;
uniform vec4 modelX; // rows of the model matrix
uniform vec4 modelY;
uniform vec4 modelZ;
uniform mat4 toTile; // world (unfolded over the mirrors) to the tile's clip space
uniform vec4 front;  // the leg's half-spaces, in the world
uniform vec4 back;

void main() {
  vec4 p = vec4(position, 1.0);
  vec4 world = vec4(dot(modelX, p), dot(modelY, p), dot(modelZ, p), 1.0);
  gl_Position = toTile * world;
  gl_ClipDistance[0] = dot(front, world);
  gl_ClipDistance[1] = dot(back, world);
}

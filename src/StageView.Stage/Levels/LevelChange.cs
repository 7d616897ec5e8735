namespace StageView.Stage.Levels;

/// <summary>One change in <see cref="LevelHistory"/>.</summary>
/// <param name="At">Show time, s.</param>
/// <param name="Universe">Place in the <see cref="UniverseMap"/>.</param>
/// <param name="Chunk">Where its bytes lie.</param>
/// <param name="Offset">From the chunk's start.</param>
/// <param name="Start">First address that changed, from 0.</param>
/// <param name="Length">Addresses it covers.</param>
internal readonly record struct LevelChange(double At, int Universe, int Chunk, int Offset, int Start, int Length);

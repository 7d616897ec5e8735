using StageView.Wire.Universes;

namespace StageView.Stage.State;

/// <summary>Pixels one after another on the wire that are sent the same.</summary>
/// <param name="Geometry">The grid's geometry.</param>
/// <param name="First">The first of them in the order of the wire, from 0.</param>
/// <param name="Count">How many.</param>
/// <param name="From">Address of the first one's first byte.</param>
/// <param name="To">Address of the last one's last byte.</param>
/// <param name="Order">A letter a component.</param>
/// <param name="Bytes">What each of them is sent, component by component, most significant byte first.</param>
public sealed record PixelRun(string Geometry, int First, int Count, UniverseAddress From, UniverseAddress To, string Order, IReadOnlyList<int> Bytes);

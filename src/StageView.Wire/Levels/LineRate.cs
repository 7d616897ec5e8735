namespace StageView.Wire.Levels;

/// <summary>
/// How fast a line of DMX512 can be, which bounds what E1.31 §6.6.1 lets a source send: break 92 µs, mark after it 12 µs, start code and slots 44 µs
/// each, at least 1204 µs from break to break (ANSI E1.11, from memory). 512 slots: 44 a second.
/// </summary>
public static class LineRate
{
    /// <param name="slots">Addresses of a packet, 0 to 512.</param>
    /// <returns>The shortest time that a line takes for them, s.</returns>
    public static double FrameSeconds(int slots) => Math.Max(1204, 92 + 12 + (44 * (slots + 1))) / 1e6;
}

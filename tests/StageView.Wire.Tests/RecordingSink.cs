using StageView.Wire.Universes;

namespace StageView.Wire.Tests;

/// <summary>Keeps every change it is told.</summary>
internal sealed class RecordingSink : ILevelsSink
{
    public List<(int Universe, TimeSpan At, byte[] Levels)> Changes { get; } = [];

    public void OnLevels(UniverseNumber universe, TimeSpan at, ReadOnlySpan<byte> levels)
    {
        if (Changes.Count > 0)
        {
            Assert.True(at >= Changes[^1].At, "time ran backwards");
        }

        Assert.Equal(512, levels.Length);
        Changes.Add((universe.Value, at, levels.ToArray()));
    }
}

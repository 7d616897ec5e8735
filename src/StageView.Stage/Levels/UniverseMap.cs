using StageView.Rig.Pieces;
using StageView.Wire.Universes;

namespace StageView.Stage.Levels;

/// <summary>Numbers the universes the rig uses without gaps between neighbours, so that a run of bytes over a universe's end stays a run.</summary>
internal sealed class UniverseMap
{
    private readonly Dictionary<int, int> _dense = [];

    public UniverseMap(RigScene rig)
    {
        var used = new SortedSet<int>();
        foreach (var f in rig.Fixtures)
        {
            foreach (var p in f.Patch)
            {
                var footprint = p.Break >= 1 && p.Break <= f.Mode.Footprints.Count ? f.Mode.Footprints[p.Break - 1] : 1;
                var last = (p.Start.Absolute + Math.Max(1, footprint) - 1) / 512;
                for (var u = p.Start.Absolute / 512; u <= Math.Min(last + 1, UniverseNumber.Highest - 1); u++)
                {
                    used.Add(u + 1);
                }
            }
        }

        foreach (var u in used)
        {
            _dense[u] = _dense.Count;
        }

        Universes = [.. used];
    }

    public IReadOnlyList<int> Universes { get; }

    public int Count => _dense.Count;

    public bool TryFind(UniverseNumber universe, out int dense) => _dense.TryGetValue(universe.Value, out dense);

    /// <summary>Place of a fixture's byte in <see cref="LevelsNow.Bytes"/>, or -1 when it isn't patched.</summary>
    public int Locate(Fixture fixture, int dmxBreak, int offset)
    {
        foreach (var p in fixture.Patch)
        {
            if (p.Break == dmxBreak)
            {
                return LocateAbsolute(p.Start.Absolute + offset - 1);
            }
        }

        return -1;
    }

    /// <summary>Which places some channel of some fixture reads; pixels alone don't count.</summary>
    public bool[] Watched(RigScene rig)
    {
        var watched = new bool[Count * 512];
        foreach (var fixture in rig.Fixtures)
        {
            foreach (var channel in fixture.Mode.Channels)
            {
                foreach (var offset in channel.Offsets)
                {
                    if (Locate(fixture, channel.Break, offset) is >= 0 and var place)
                    {
                        watched[place] = true;
                    }
                }
            }
        }

        return watched;
    }

    /// <summary>Place of an absolute address (1.1 is 0), or -1.</summary>
    public int LocateAbsolute(int absolute) =>
        absolute >= 0 && _dense.TryGetValue((absolute / 512) + 1, out var d) ? (d * 512) + (absolute % 512) : -1;

    /// <summary>The address of a place.</summary>
    public UniverseAddress AddressOf(int place) => new(new UniverseNumber(Universes[place >> 9]), (place & 511) + 1);
}

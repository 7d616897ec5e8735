using StageView.Stage;
using StageView.Wire.Universes;

namespace StageView.Show.Sources;

/// <summary>
/// Stands between the network and the stages that show it: keeps the newest levels of every universe, so that a reloaded rig starts
/// from them, and notes when the newest came in.
/// </summary>
public sealed class LevelsDesk(TimeProvider clock, Action changed) : ILevelsSink
{
    private const int MostUniverses = 4096;
    private readonly Lock _gate = new();
    private readonly Dictionary<ushort, byte[]> _newest = [];
    private readonly List<StageModel> _stages = [];
    private TimeSpan _at;
    private long _arrival;
    private int _markerUniverse;
    private int _marker = -1;

    /// <summary>When the newest changed levels came in, or 0.</summary>
    public long Arrival => Interlocked.Read(ref _arrival);

    /// <summary>Show time of the newest levels; zero before any came.</summary>
    public TimeSpan At
    {
        get
        {
            lock (_gate)
            {
                return _at;
            }
        }
    }

    /// <summary>Level of address 1 of the marker universe, or -1.</summary>
    public int Marker => Volatile.Read(ref _marker);

    public void OnLevels(UniverseNumber universe, TimeSpan at, ReadOnlySpan<byte> levels)
    {
        lock (_gate)
        {
            _at = at;
            if (universe.Value == _markerUniverse)
            {
                Volatile.Write(ref _marker, levels[0]);
            }
            else
            {
                if (!_newest.TryGetValue(universe.Value, out var kept))
                {
                    if (_newest.Count >= MostUniverses)
                    {
                        return;
                    }

                    kept = _newest[universe.Value] = new byte[UniverseAddress.AddressesPerUniverse];
                }

                levels.CopyTo(kept);
                foreach (var stage in _stages)
                {
                    stage.OnLevels(universe, at, levels);
                }
            }

            Interlocked.Exchange(ref _arrival, clock.GetTimestamp());
        }

        changed();
    }

    /// <summary>Levels go to this stage, too, from now on; it is given the newest of each universe at once.</summary>
    public void Feed(StageModel stage)
    {
        lock (_gate)
        {
            foreach (var (universe, levels) in _newest)
            {
                stage.OnLevels(new UniverseNumber(universe), _at, levels);
            }

            _stages.Add(stage);
        }
    }

    /// <summary>Levels go to this stage no longer.</summary>
    public void Leave(StageModel stage)
    {
        lock (_gate)
        {
            _stages.Remove(stage);
        }
    }

    /// <summary>Which universe is the marker's; 0 for none.</summary>
    public void WatchMarker(int universe)
    {
        lock (_gate)
        {
            _markerUniverse = universe;
            Volatile.Write(ref _marker, -1);
        }
    }
}

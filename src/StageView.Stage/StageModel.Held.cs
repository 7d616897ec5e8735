using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Stage.Moves;
using StageView.Stage.State;

namespace StageView.Stage;

public sealed partial class StageModel
{
    /// <summary>Where every head with pan or tilt stands still while lit, in the levels so far, in order of time.</summary>
    /// <param name="end">The end of the show: levels may rest long before it.</param>
    /// <remarks>A head that something carries stands still only while that does.</remarks>
    /// <exception cref="InvalidOperationException">The model keeps no history.</exception>
    public IReadOnlyList<HeldStretch> FindHeld(TimeSpan end)
    {
        var found = new List<HeldStretch>();
        var trackers = _runs.Select(r => new HoldTracker(r, AxesUnder(r), found)).ToArray();
        var riders = Riders();
        Follow((run, at) =>
        {
            Tell(run);
            foreach (var rider in riders[run.Fixture.Index.Value])
            {
                Tell(rider);
            }

            void Tell(FixtureRun r)
            {
                if (trackers[r.Fixture.Index.Value].HasAxes)
                {
                    trackers[r.Fixture.Index.Value].Changed(at);
                }
            }
        });
        foreach (var tracker in trackers)
        {
            tracker.Close(Math.Max(end.TotalSeconds, Newest.TotalSeconds));
        }

        found.Sort((a, b) => a.From != b.From ? a.From.CompareTo(b.From) : a.Fixture.CompareTo(b.Fixture));
        return found;
    }

    /// <summary>Where every winch stands still for .2 s or more, in the levels so far, in order of time.</summary>
    /// <param name="end">The end of the show.</param>
    /// <exception cref="InvalidOperationException">The model keeps no history.</exception>
    public IReadOnlyList<HeldHeight> FindHeights(TimeSpan end)
    {
        var found = new List<HeldHeight>();
        var trackers = _runs.ToDictionary(r => r, r => HeightTracker.Of(r, found).ToList());
        Follow((run, at) => trackers[run].ForEach(t => t.Changed(at)));
        foreach (var tracker in trackers.Values.SelectMany(t => t))
        {
            tracker.Close(Math.Max(end.TotalSeconds, Newest.TotalSeconds));
        }

        found.Sort((a, b) => a.From != b.From ? a.From.CompareTo(b.From) : a.Axis.Fixture.CompareTo(b.Axis.Fixture));
        return found;
    }

    /// <summary>Where each fixture hangs at a time, carried ones by what carries them.</summary>
    public Pose[] RootsAt(TimeSpan at)
    {
        lock (_gate)
        {
            GoTo(at.TotalSeconds);
            foreach (var run in _order)
            {
                Update(run, at.TotalSeconds);
            }

            return [.. _runs.Select(r => r.Fixture.Carrier is { } c ? _runs[c.Fixture.Value].World[c.Geometry].Compose(r.Fixture.Pose) : r.Fixture.Pose)];
        }
    }

    /// <summary>All grids of pixels of a rig at rest: turning axes at 0, travelling ones as they hang before levels come.</summary>
    public static IReadOnlyList<PixelSurface> SurfacesAtRest(RigScene rig)
    {
        var rest = new StageModel(rig, keepHistory: false);
        foreach (var fixture in rig.Fixtures)
        {
            foreach (var node in fixture.Mode.Geometry.Where(n => n.Axis is { Motion: not AxisMotion.TravelZ }))
            {
                rest.Stand(fixture.Index, node.Index, 0);
            }
        }

        return rest.SurfacesAt(TimeSpan.Zero).ToArray();
    }

    /// <summary>Where all grids of pixels are, as the levels at a time let them travel on.</summary>
    /// <param name="at">Show time of the levels.</param>
    /// <param name="ahead">How much later they are looked at; what comes later than <paramref name="at"/> is not known.</param>
    /// <remarks>Good until the next call of the model. Globes of lamps are not among them.</remarks>
    public ReadOnlySpan<PixelSurface> SurfacesAt(TimeSpan at, TimeSpan ahead = default)
    {
        lock (_gate)
        {
            GoTo(at.TotalSeconds);
            _builder.Begin();
            foreach (var run in _order)
            {
                Update(run, (at + ahead).TotalSeconds);
                for (var e = 0; e < run.Emitters.Length; e++)
                {
                    if (run.Program.Emitters[e].Node.Pixels is { } grid)
                    {
                        _builder.AddSurface(SurfaceOf(run, e, grid));
                    }
                }
            }

            return _builder.Surfaces;
        }
    }

    /// <summary>Where an axis is at a time by the levels, m or degrees; 0 where the geometry is no axis that a channel moves.</summary>
    public double AxisAt(TimeSpan at, FixtureIndex fixture, int geometry)
    {
        lock (_gate)
        {
            GoTo(at.TotalSeconds);
            var run = _runs[fixture.Value];
            return run.Program.AxisMovers[geometry] is >= 0 and var mover ? run.Travels[mover].PositionAt(at.TotalSeconds) : 0;
        }
    }

    /// <summary>Lets an axis stand at a value whatever the levels say, from now on.</summary>
    /// <param name="fixture">Index in the rig.</param>
    /// <param name="geometry">The axis's place in the fixture's mode.</param>
    /// <param name="value">m for a travel, else degrees; null to follow the levels again.</param>
    public void Stand(FixtureIndex fixture, int geometry, double? value)
    {
        lock (_gate)
        {
            var run = _runs[fixture.Value];
            if (run.Stands is null)
            {
                run.Stands = new double[run.World.Length];
                Array.Fill(run.Stands, double.NaN);
            }

            (run.Stands[geometry], run.CachedAt) = (value ?? double.NaN, double.NaN);
        }
    }

    /// <summary>Folds in the whole history from its beginning, and tells of each fixture that a change meant something to.</summary>
    private void Follow(Action<FixtureRun, double> changed)
    {
        if (!_keepHistory)
        {
            throw new InvalidOperationException("positions are found in the history, and this model keeps none");
        }

        lock (_gate)
        {
            Restart();
            while (_applied < _history.Count)
            {
                var (at, universe) = (_history[_applied].At, _history[_applied].Universe);
                Apply();
                foreach (var run in _users[universe].Where(r => r.ChangedAt == at))
                {
                    changed(run, at);
                }
            }
        }
    }

    /// <summary>The axes under a fixture in what carries it, the nearest first.</summary>
    private List<(FixtureRun Run, int Geometry)> AxesUnder(FixtureRun run)
    {
        var axes = new List<(FixtureRun Run, int Geometry)>();
        var carrier = run.Fixture.Carrier;
        for (var depth = 0; carrier is { } c && depth < 16; depth++)
        {
            var by = _runs[c.Fixture.Value];
            for (var g = c.Geometry; g >= 0; g = by.Program.Mode.Geometry[g].Parent)
            {
                if (by.Program.AxisMovers[g] >= 0)
                {
                    axes.Add((by, g));
                }
            }

            carrier = by.Fixture.Carrier;
        }

        return axes;
    }

    /// <summary>What rides on each fixture, also by way of others.</summary>
    private List<FixtureRun>[] Riders()
    {
        var riders = _runs.Select(_ => new List<FixtureRun>()).ToArray();
        foreach (var run in _runs)
        {
            foreach (var by in AxesUnder(run).Select(a => a.Run).Distinct())
            {
                riders[by.Fixture.Index.Value].Add(run);
            }
        }

        return riders;
    }
}

using StageView.Ground.Indices;
using StageView.Rig.Patching;
using StageView.Rig.Pieces;
using StageView.Show.Rigs;
using StageView.Show.Snap;
using StageView.Show.Sources;
using StageView.Stage;
using StageView.Stage.Changes;
using StageView.Wire.Capture;

namespace StageView.Show.Takeover;

/// <summary>What a takeover is asked with.</summary>
/// <param name="Rig">The rig file.</param>
/// <param name="Capture">A capture with both desks.</param>
/// <param name="Main">Source name or address of the desk that runs the show; null to find it.</param>
/// <param name="Backup">The same of the other.</param>
/// <param name="Step">Between the times looked at, s.</param>
/// <param name="Tolerance">Within which time and amount looks are the same.</param>
/// <param name="Venue">Laid over the rig, or null.</param>
public sealed record TakeoverAsked(string Rig, string Capture, string? Main, string? Backup, double Step, ShowTolerance Tolerance, string? Venue = null);

/// <summary>Plays a capture twice side by side, each time with the packets of one desk alone, and tells where the two looks part.</summary>
public static class TakeoverRun
{
    /// <summary>A backup that tracks is up to so far behind, s: common practice, no source.</summary>
    public const double UsualWithin = .15;

    private const int MostWorst = 12;

    /// <param name="asked">The question.</param>
    /// <param name="tell">Told what is wrong with the rig.</param>
    /// <exception cref="StopException">The capture has no two desks, or none that is called so.</exception>
    /// <exception cref="CaptureException">The file can't be read as a capture.</exception>
    public static TakeoverAnswer Run(TakeoverAsked asked, Action<string>? tell = null)
    {
        ArgumentNullException.ThrowIfNull(asked);
        var rig = RigFiles.Open(asked.Rig, asked.Venue, tell: tell);
        var (desks, problems) = Desks(rig, asked.Capture);
        var patch = new PatchLookup(rig);
        var (main, backup, why) = Choose(asked, desks.All, [.. patch.Universes]);
        var (from, to) = (Math.Max(main.From, backup.From), Math.Min(main.To, backup.To));
        if (from >= to)
        {
            throw StopException.Wrong($"{asked.Capture}: {main.Label} and {backup.Label} are never heard at the same time, so their looks can't be held "
                + "together");
        }

        using var mains = new CaptureShows(rig, asked.Capture, asked.Tolerance, desks.Only(main));
        using var backups = new CaptureShows(rig, asked.Capture, asked.Tolerance, desks.Only(backup));
        var comparison = new ShowComparison(mains.Stages, backups.Stages, TimeMap.Same, asked.Tolerance);
        var seen = new List<(double At, HashSet<FixtureIndex> Lit)>();
        var lit = new double[rig.Fixtures.Count];

        // Both have told all they send once a keep-alive is through (E1.31 §6.6.2: 1 s).
        for (var t = from + Math.Min(1, (to - from) / 2); t <= to; t += asked.Step)
        {
            mains.FeedTo(t);
            backups.FeedTo(t);
            comparison.Look(t, asked.Step);
            var of = LitFixtures.At(mains.Middle.Stage, t);
            foreach (var f in of)
            {
                lit[f.Value] += asked.Step;
            }

            of.UnionWith(LitFixtures.At(backups.Middle.Stage, t));
            seen.Add((t, of));
        }

        var partings = comparison.Finish();
        var (worst, seconds) = Worst(seen, partings, asked.Step);
        var track = CaptureTrack.Of(asked.Capture);
        return new TakeoverAnswer(main, backup, why, from, to, seen.Count, partings,
            worst is { } w ? new WorstMoment(w.At, track.LabelAt(TimeSpan.FromSeconds(w.At))?.ToString(), [.. w.Parted.Select(p => p.Name).Distinct()],
                [.. w.Parted.DistinctBy(p => p.Name).Take(MostWorst)]) : null,
            seconds, [.. main.Universes.Except(backup.Universes).Where(u => patch.Highest(u) > 0)],
            [.. rig.Network.Consoles.Select(c => ConsoleShed.Of(rig, c, main.IsCalled(c.Source) ? "main" : backup.IsCalled(c.Source) ? "backup" : "", lit))],
            problems);
    }

    /// <summary>Writes what each of the two desks sent as a capture of its own: <c>main.pcapng</c> and <c>backup.pcapng</c>.</summary>
    /// <param name="rig">For its Art-Net mapping.</param>
    /// <param name="capture">The capture with both.</param>
    /// <param name="answer">Which two.</param>
    /// <param name="folder">Where to; it is made.</param>
    /// <exception cref="IOException">A file can't be written.</exception>
    public static void Split(RigScene rig, string capture, TakeoverAnswer answer, string folder)
    {
        ArgumentNullException.ThrowIfNull(answer);
        Directory.CreateDirectory(folder);
        var (desks, _) = Desks(rig, capture);
        foreach (var (name, desk) in new[] { ("main", answer.Main), ("backup", answer.Backup) })
        {
            var only = desks.Only(desks.All.First(d => d.Label == desk.Label));
            using var reader = CaptureReader.Open(capture);
            PcapngWriter? writer = null;
            try
            {
                while (reader.TryRead(out var datagram))
                {
                    writer ??= new PcapngWriter(File.Create(Path.Combine(folder, name + ".pcapng")), reader.FirstRecordAt);
                    if (only(datagram) || IsTimecode(datagram))
                    {
                        writer.Write(datagram.At, datagram.From, datagram.To, datagram.Payload.Span);
                    }
                }
            }
            finally
            {
                writer?.Dispose();
            }
        }
    }

    private static bool IsTimecode(CapturedDatagram d) => Wire.ArtNet.ArtTimeCode.TryParse(d.Payload.Span, out _, out _);

    private static (DeskList Desks, List<string> Problems) Desks(RigScene rig, string capture)
    {
        var problems = new List<string>();
        return (DeskList.Of(capture, rig.Network.ArtNet, problems.Add), problems);
    }

    private static (Desk Main, Desk Backup, string Why) Choose(TakeoverAsked asked, IReadOnlyList<Desk> all, HashSet<int> patched)
    {
        var listed = all.Count == 0 ? "nobody sends levels in it" : "it has " + string.Join(", ", all.Select(d => d.Label));
        Desk Named(string option, string word) => all.Where(d => d.IsCalled(word)).ToList() switch
        {
            [var one] => one,
            [] => throw StopException.Wrong($"--{option} {word}: no desk of {asked.Capture} is called that; {listed}"),
            _ => throw StopException.Wrong($"--{option} {word}: several desks of {asked.Capture} are called that; {listed}; name one by its address"),
        };
        var main = asked.Main is { } m ? Named("main", m) : null;
        var backup = asked.Backup is { } b ? Named("backup", b) : null;
        if (main is not null && main == backup)
        {
            throw StopException.Wrong($"--main and --backup name the same desk: {main.Label}");
        }

        var free = all.Where(d => d != main && d != backup && (patched.Count == 0 || d.Universes.Any(patched.Contains))).ToList();
        if (free.Count < (main is null ? 1 : 0) + (backup is null ? 1 : 0))
        {
            throw StopException.Wrong($"{asked.Capture} has no two desks that send to the patch: {listed}");
        }

        if (free.Count > (main is null ? 1 : 0) + (backup is null ? 1 : 0) && (main is null || backup is null))
        {
            throw StopException.Wrong($"{asked.Capture} has more than two desks: {listed}; say which two with --main and --backup");
        }

        if (main is null && backup is null)
        {
            var (x, y) = (free[0], free[1]);
            return Math.Abs(x.Priority - y.Priority) < .5 ? (x, y, "heard first")
                : x.Priority > y.Priority ? (x, y, "of higher priority") : (y, x, "of higher priority");
        }

        return (main ?? free[0], backup ?? free[0], "as asked");
    }

    /// <summary>The time with the most lit fixtures that part, the first of several; and for how long any does.</summary>
    private static ((double At, List<Parting> Parted)? Worst, double Seconds) Worst(
        List<(double At, HashSet<FixtureIndex> Lit)> seen, IReadOnlyList<Parting> partings, double step)
    {
        var (worst, most, looks, next) = (default((double, List<Parting>)?), 0, 0, 0);
        var open = new List<Parting>();
        foreach (var (at, lit) in seen)
        {
            open.RemoveAll(p => p.To < at - (step / 2));
            for (; next < partings.Count && partings[next].From <= at + (step / 2); next++)
            {
                open.Add(partings[next]);
            }

            var parted = open.Where(p => lit.Contains(p.Fixture)).ToList();
            var count = parted.Select(p => p.Fixture).Distinct().Count();
            looks += count > 0 ? 1 : 0;
            if (count > most)
            {
                (worst, most) = ((at, parted), count);
            }
        }

        return (worst, Math.Round(looks * step, 3));
    }
}

using System.Globalization;
using System.Numerics;
using StageView.Light.Geometry;
using StageView.Rig.Keys;
using StageView.Rig.Source;

namespace StageView.Rig.Scene;

/// <summary>A venue file while a tour rig is read under it: what is removed, moved, resized, and a list of what it did.</summary>
internal sealed class VenueOverlay
{
    private readonly List<string> _changes = [];
    private readonly HashSet<SourceNode> _used = [];
    private readonly Dictionary<string, List<SourceNode>> _moves = new(StringComparer.Ordinal);
    private readonly HashSet<(SourceNode, SourceNode)> _told = [];

    private VenueOverlay(SourceNode root, string fullPath)
    {
        Root = root;
        FullPath = fullPath;
    }

    /// <summary>Entries that moved a part whose contents are being read.</summary>
    private readonly List<SourceNode> _above = [];

    public SourceNode Root { get; }

    public string FullPath { get; }

    /// <summary>Entries that each thing of the tour rig is held against.</summary>
    public int Entries => Root.ListOf("remove").Count + Root.ListOf("move").Count;

    /// <summary>True while the venue's own contents are read: they are not moved by it.</summary>
    public bool Silent { get; set; }

    public IReadOnlyList<string> Changes => _changes;

    public static VenueOverlay? Read(string path, FilesMet files, ProblemList problems)
    {
        var full = Path.GetFullPath(path);
        files.Has(full, SourceFileKind.Venue);
        var root = SourceParser.TryRead(full, path, problems);
        if (root is null || !KeyChecker.Check(root, SceneKeys.Venue, problems))
        {
            return null;
        }

        foreach (var m in root.ListOf("move").Where(m => m.Has("by") && m.Has("to")))
        {
            problems.Error(m, "\"by\" and \"to\" can't both place it: keep one");
        }

        return new VenueOverlay(root, full);
    }

    public void Changed(string text) => _changes.Add(text);

    public bool Removes(string kind, SourceNode node)
    {
        if (Silent)
        {
            return false;
        }

        var name = node.TextOr("name");
        foreach (var r in Root.ListOf("remove").Where(r => NameMatch.Is(r.Text, name)))
        {
            _used.Add(r);
            if (_told.Add((r, node)))
            {
                Changed($"{kind.TrimEnd('s')} \"{name}\" removed");
            }

            return true;
        }

        return false;
    }

    public Vector3? SizeOf(SourceNode node)
    {
        foreach (var m in Moves(node))
        {
            if (m.Vector("size") is { } size)
            {
                return size;
            }
        }

        return null;
    }

    /// <summary>The pose the node is written with, moved and turned.</summary>
    public Pose Adjust(SourceNode node, Pose written)
    {
        var at = written.Position;
        var turn = written.Orientation;
        foreach (var m in Moves(node))
        {
            var before = at;
            at = m.Vector("to") ?? (at + m.VectorOr("by", Vector3.Zero));
            at.Z = m.NumberOr("trim", at.Z);
            if (m.Vector("turn") is { } more)
            {
                turn = Pose.FromDegrees(default, more).Orientation * turn;
            }

            if (_told.Add((m, node)))
            {
                Changed(Said(node, m, before, at));
            }
        }

        return new Pose(at, turn);
    }

    /// <summary>While a part's contents are read: what moved the part moves nothing of the same name within it once more.</summary>
    public IDisposable Within(SourceNode part)
    {
        var met = Moves(part).ToList();
        _above.AddRange(met);
        return new Above(_above, met.Count);
    }

    /// <summary>Entries that met nothing are mistakes.</summary>
    public void CheckUnused(ProblemList problems)
    {
        foreach (var r in Root.ListOf("remove").Where(r => !_used.Contains(r)))
        {
            problems.Error(r, $"nothing in the tour rig is named \"{r.Text}\"");
        }

        foreach (var m in Root.ListOf("move").Where(m => !_used.Contains(m)))
        {
            problems.Error(m, $"nothing in the tour rig is named \"{m.TextOr("what")}\"");
        }
    }

    private IEnumerable<SourceNode> Moves(SourceNode node)
    {
        if (Silent)
        {
            yield break;
        }

        var name = node.TextOr("name");
        if (!_moves.TryGetValue(name, out var named))
        {
            _moves[name] = named = [.. Root.ListOf("move").Where(m => NameMatch.Is(m.TextOr("what"), name))];
        }

        foreach (var m in named.Where(m => !_above.Contains(m)))
        {
            _used.Add(m);
            yield return m;
        }
    }

    private sealed class Above(List<SourceNode> all, int count) : IDisposable
    {
        public void Dispose() => all.RemoveRange(all.Count - count, count);
    }

    private static string Said(SourceNode node, SourceNode move, Vector3 before, Vector3 after)
    {
        static string P(Vector3 v) => string.Create(CultureInfo.InvariantCulture, $"[{v.X:0.###}, {v.Y:0.###}, {v.Z:0.###}]");
        var said = $"\"{node.TextOr("name")}\"";
        if (before != after)
        {
            said += move.Has("trim") && before.X == after.X && before.Y == after.Y
                ? string.Create(CultureInfo.InvariantCulture, $" trimmed from {before.Z:0.###} to {after.Z:0.###} m")
                : $" moved from {P(before)} to {P(after)}";
        }

        if (move.Vector("turn") is { } turn)
        {
            said += $" turned by {P(turn)} degrees";
        }

        if (move.Vector("size") is { } size)
        {
            said += $" resized to {P(size)} m";
        }

        return move.TextOr("why") is { Length: > 0 } why ? $"{said} ({why})" : said;
    }
}

/// <summary>Poses as the venue has them.</summary>
internal static class VenuePoses
{
    public static Pose PoseIn(this SourceNode node, VenueOverlay? venue) => venue?.Adjust(node, node.PoseOf()) ?? node.PoseOf();

    /// <summary>Members of a hang are moved each from where it is: "to" places their common "at".</summary>
    public static Pose Shift(this VenueOverlay? venue, SourceNode hang, Pose member)
    {
        if (venue is null)
        {
            return member;
        }

        var written = new Pose(hang.VectorOr("at", Vector3.Zero), Quaternion.Identity);
        var moved = venue.Adjust(hang, written);
        return new Pose(member.Position + moved.Position - written.Position, Quaternion.Normalize(moved.Orientation * member.Orientation));
    }
}

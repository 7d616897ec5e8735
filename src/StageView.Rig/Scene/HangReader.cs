using System.Globalization;
using System.Numerics;
using StageView.Light.Geometry;
using StageView.Rig.Profiles;
using StageView.Rig.Solids;
using StageView.Rig.Source;

namespace StageView.Rig.Scene;

/// <summary>Lays out hangs: single fixtures, rows, arcs, grids, with reflected copies and members that differ.</summary>
internal sealed class HangReader
{
    private readonly SceneBuild _build;
    private readonly ProfileStore _profiles;
    private readonly string _folder;
    private readonly HungPhotometry _photometry;

    /// <summary>Members laid out so far: a hang within a repeated part counts on.</summary>
    private readonly Dictionary<SourceNode, int> _counts = [];
    private readonly Dictionary<SourceNode, HungFixture> _first = [];
    private readonly Dictionary<SourceNode, IReadOnlyList<string>> _groups = [];
    private readonly Dictionary<SourceNode, Dictionary<int, SourceNode>> _members = [];

    public HangReader(SceneBuild build, ProfileStore profiles, string folder)
    {
        _build = build;
        _profiles = profiles;
        _folder = folder;
        _photometry = new HungPhotometry(build, folder);
    }

    public void Read(SourceNode hang, PartPlace place)
    {
        if (hang.Get("profile") is not { Kind: SourceKind.Text } named)
        {
            return;
        }

        var ways = new[] { "row", "arc", "grid" }.Where(hang.Has).ToList();
        if (ways.Count > 1)
        {
            _build.Problems.Error(hang, $"\"{ways[0]}\" and \"{ways[1]}\" can't both place it: keep one");
        }

        if (hang.Has("aim") && hang.Has("rotate"))
        {
            _build.Problems.Error(hang, "\"aim\" and \"rotate\" can't both turn it: keep one");
        }

        var profile = _profiles.Find(named, _folder);
        if (profile is null)
        {
            return;
        }

        var spots = Spots(hang);
        var both = hang.FlagOr("mirrored", false);
        var several = spots.Count > 1 || both || place.Within is not null && _counts.ContainsKey(hang);
        for (var i = 0; i < spots.Count && !_build.Bounds.Stopped; i++)
        {
            Add(hang, place, profile, spots[i], i, spots.Count, false, several);
        }

        if (both)
        {
            for (var i = 0; i < spots.Count && !_build.Bounds.Stopped; i++)
            {
                Add(hang, place, profile, spots[i], i, spots.Count, true, several);
            }
        }
    }

    private void Add(SourceNode hang, PartPlace place, FixtureProfile profile, Pose spot, int i, int count, bool reflected, bool several)
    {
        var member = _counts[hang] = _counts.GetValueOrDefault(hang) + 1;
        var own = MembersOf(hang).GetValueOrDefault(member);
        if (own?.Get("profile") is { Kind: SourceKind.Text } other && _profiles.Find(other, _folder) is { } replaced)
        {
            profile = replaced;
        }

        if (Mode(hang, own?.Get("mode") ?? hang.Get("mode"), profile) is not { } mode)
        {
            return;
        }

        if ((own?.Get("photometry") ?? hang.Get("photometry")) is { Kind: SourceKind.Text } measured)
        {
            mode = _photometry.Apply(mode, measured) ?? mode;
        }

        if (!_build.Bounds.Fixture(hang, mode))
        {
            return;
        }

        if (!several && member == 2)
        {
            Rename(hang);
        }

        var hangName = hang.TextOr("name");
        var groups = GroupsOf(own?.Has("groups") == true ? own : hang);
        var position = (own?.Get("position") ?? hang.Get("position"))?.Text;
        var numbered = string.Create(CultureInfo.InvariantCulture, $"{hangName} {member}");
        var name = own?.TextOr("name") is { Length: > 0 } called ? called : several || member > 1 ? numbered : hangName;
        if (!_build.Bounds.Compare(hang, _build.Venue?.Entries ?? 0))
        {
            return;
        }

        var venue = VenueTouch.Of(_build.Venue, place.Venue, "fixture", hang,
            [name, .. groups, .. position is null ? (string[])[] : [position]]);
        var carried = hang.Has("carriedBy");
        Pose Placed(Vector3? point)
        {
            var pose = carried ? spot : Turned(hang, own, spot, RowSpots.Share(i, count), reflected, point);
            pose = venue.One(Shifted(venue, hang, pose));
            return carried ? pose : place.ToWorld(pose);
        }

        var aim = own?.Get("aim") ?? (own?.Has("rotate") == true ? null : hang.Get("aim"));
        var hung = new HungFixture
        {
            Name = name,
            HangName = hangName,
            Hang = hang,
            Member = member,
            Profile = profile,
            Mode = mode,
            Pose = Placed(null),
            Aim = aim is { Kind: SourceKind.Text } && !carried ? (aim, p => Placed(place.FromWorld(p))) : null,
            Number = Number(hang, own, member),
            Groups = groups,
            Position = position ?? place.Name,
            Part = place.Part,
            Override = own,
            LeftOut = own?.FlagOr("leftOut", false) ?? false,
            Removed = venue.Removed,
            Added = _build.Venue?.Silent == true,
            Venue = venue,
            CarriedBy = hang.Get("carriedBy"),
        };
        _build.Hung.Add(hung);
        if (!hung.LeftOut)
        {
            venue.Went(() => hung.Name);
        }

        if (member == 1)
        {
            _first[hang] = hung;
        }
    }

    /// <summary>What is written for single members, by their number; the first of a number counts.</summary>
    private Dictionary<int, SourceNode> MembersOf(SourceNode hang)
    {
        if (!_members.TryGetValue(hang, out var members))
        {
            _members[hang] = members = [];
            foreach (var m in hang.ListOf("members"))
            {
                members.TryAdd(m.IntegerOr("member", 0), m);
            }
        }

        return members;
    }

    private IReadOnlyList<string> GroupsOf(SourceNode node)
    {
        if (!_groups.TryGetValue(node, out var groups))
        {
            _groups[node] = groups = node.TextsOf("groups");
        }

        return groups;
    }

    /// <summary>The first member of a hang that turned out to have more gets its number too.</summary>
    private void Rename(SourceNode hang)
    {
        if (_first.TryGetValue(hang, out var first) && first.Name == first.HangName && first.Override?.Has("name") != true)
        {
            first.Name = first.HangName + " 1";
        }
    }

    /// <summary>Members of a hang are moved each from where it is: "to" places their common "at".</summary>
    private static Pose Shifted(VenueTouch venue, SourceNode hang, Pose member)
    {
        var written = new Pose(hang.VectorOr("at", Vector3.Zero), Quaternion.Identity);
        var moved = venue.All(written);
        return moved == written ? member
            : new Pose(member.Position + moved.Position - written.Position, Quaternion.Normalize(moved.Orientation * member.Orientation));
    }

    /// <param name="hang">As written.</param>
    /// <param name="own">What is different for this one.</param>
    /// <param name="spot">Where it is in what holds it.</param>
    /// <param name="share">Its place in the row, 0 to 1.</param>
    /// <param name="reflected">Whether it is the mirror image.</param>
    /// <param name="point">The named point it looks at, in the coordinates of what holds it, m.</param>
    private static Pose Turned(SourceNode hang, SourceNode? own, Pose spot, float share, bool reflected, Vector3? point)
    {
        var at = own?.Vector("at") ?? spot.Position;
        var pose = new Pose(at, spot.Orientation);
        var aim = own?.Vector("aim") ?? (own?.Has("rotate") == true ? null : hang.Vector("aim"));
        if (point is { } named)
        {
            // What is reflected afterwards looks at the point itself, not at its image.
            aim = reflected ? named with { X = -named.X } : named;
        }

        if (aim is { } target)
        {
            if (point is null && hang.Vector("aimTo") is { } last && own?.Has("aim") != true)
            {
                target = Vector3.Lerp(target, last, share);
            }

            pose = target == at ? pose : new Pose(at, Turns.LookAlong(target - at));
        }
        else if (own?.Vector("rotate") is { } turn)
        {
            pose = new Pose(at, Pose.FromDegrees(default, turn).Orientation);
        }

        return reflected ? Turns.Reflected(pose) : pose;
    }

    private List<Pose> Spots(SourceNode hang)
    {
        var own = hang.PoseOf();
        if (hang.Get("row") is { } row)
        {
            return [.. RowSpots.InRow(row).Select(p => new Pose(p, own.Orientation))];
        }

        if (hang.Get("arc") is { } arc)
        {
            return [.. RowSpots.OnArc(arc).Select(p => p with { Orientation = p.Orientation * own.Orientation })];
        }

        if (hang.Get("grid") is { } grid)
        {
            var columns = Math.Clamp(grid.IntegerOr("columns", 1), 1, 10_000);
            var rows = Math.Clamp(grid.IntegerOr("rows", 1), 1, 10_000);
            if (columns * rows > SceneBounds.MaxFixtures)
            {
                _build.Problems.Error(grid, $"{columns} columns of {rows} are {(long)columns * rows} fixtures: a rig holds at most {SceneBounds.MaxFixtures}");
                return [];
            }

            var (from, across, down) = (grid.VectorOr("from", default), grid.VectorOr("acrossStep", default), grid.VectorOr("downStep", default));
            return [.. Enumerable.Range(0, rows * columns).Select(i =>
                new Pose(from + (across * (i % columns)) + (down * (i / columns)), own.Orientation))];
        }

        return [own];
    }

    private FixtureMode? Mode(SourceNode hang, SourceNode? named, FixtureProfile profile)
    {
        if (named is null)
        {
            if (profile.RefusedModes.Count > 0)
            {
                _build.Problems.Warn(hang, $"\"{hang.TextOr("name")}\" names no mode: \"{profile.Modes[0].Name}\" is taken, the first of "
                    + $"\"{profile.Name}\" that can be used");
            }

            return profile.Modes[0];
        }

        var mode = NameForm.Find(profile.Modes, m => m.Name, named.Text);
        if (mode is null)
        {
            var names = profile.Modes.Select(m => m.Name).ToList();
            var refused = NameForm.Find(profile.RefusedModes, m => m.Name, named.Text);
            _build.Problems.Error(named,
                (refused is null ? $"the profile \"{profile.Name}\" has no mode \"{named.Text}\"{Nearest.Hint(named.Text, names, ".")}"
                    : $"the mode \"{refused.Name}\" of \"{profile.Name}\" can't be used: {refused.Why}.")
                + $" It has: {string.Join(", ", names)}");
        }

        return mode;
    }

    private static string Number(SourceNode hang, SourceNode? own, int member)
    {
        if (own?.Get("number") is { } n)
        {
            return n.Kind == SourceKind.Number ? ((int)n.Number).ToString(CultureInfo.InvariantCulture) : n.Text;
        }

        return hang.Get("number") switch
        {
            { Kind: SourceKind.Number } first =>
                ((int)first.Number + ((member - 1) * hang.IntegerOr("numberStep", 1))).ToString(CultureInfo.InvariantCulture),
            { Kind: SourceKind.Text } text => member == 1 ? text.Text : string.Create(CultureInfo.InvariantCulture, $"{text.Text}.{member}"),
            _ => "",
        };
    }
}

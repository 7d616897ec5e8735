using System.Numerics;
using StageView.Light.Geometry;
using StageView.Rig.Solids;
using StageView.Rig.Source;

namespace StageView.Rig.Scene;

/// <summary>A thing of the tour rig, or one copy of it, as entries of the venue name it; what it holds comes after it.</summary>
internal sealed class VenueTouch
{
    private readonly VenueOverlay? _venue;
    private readonly VenueTouch? _holder;
    private readonly SourceNode? _node;
    private readonly string _kind = "";
    private readonly string _name = "";
    private readonly List<VenueEntry> _whole = [];
    private readonly List<VenueEntry> _copy = [];
    private readonly HashSet<VenueChange> _changes = [];
    private readonly HashSet<VenueChange> _removals = [];

    private VenueTouch()
    {
    }

    private VenueTouch(VenueOverlay venue, VenueTouch holder, string kind, SourceNode node, IReadOnlyList<string> names)
    {
        (_venue, _holder, _kind, _node) = (venue, holder, kind, node);
        var own = node.TextOr("name");
        _name = names.Count > 0 ? names[0] : own;
        Removed = holder.Removed;
        foreach (var e in venue.Naming(own, names).Where(e => !holder.Has(e)))
        {
            e.Used = true;
            var whole = !e.Alone && e.Names(own);
            (whole ? _whole : _copy).Add(e);
            if (e.Removes)
            {
                if (!holder.Removed)
                {
                    _removals.Add(Told(e, whole, default, default));
                }

                Removed = true;
            }
        }
    }

    public static VenueTouch None { get; } = new();

    /// <summary>Whether the venue leaves it out, or what holds it.</summary>
    public bool Removed { get; }

    /// <param name="venue">The venue; null for none.</param>
    /// <param name="holder">What holds it.</param>
    /// <param name="kind">What it is, for the list of changes.</param>
    /// <param name="node">As it is written in the tour rig.</param>
    /// <param name="names">Names that this copy alone answers to, its own first; none for all copies.</param>
    public static VenueTouch Of(VenueOverlay? venue, VenueTouch holder, string kind, SourceNode node, params IReadOnlyList<string> names) =>
        venue is null or { Silent: true } ? None : new VenueTouch(venue, holder, kind, node, names);

    /// <summary>The pose all copies are written with, moved and turned.</summary>
    public Pose All(Pose written) => Adjust(_whole, true, written);

    /// <summary>The pose of this copy in what holds it, moved and turned.</summary>
    /// <param name="held">Its pose before.</param>
    /// <param name="reflected">Whether the copy is that pose seen in a mirror at x = 0.</param>
    public Pose One(Pose held, bool reflected = false) => !_copy.Exists(e => !e.Removes) ? held
        : reflected ? Turns.Reflected(Adjust(_copy, false, Turns.Reflected(held))) : Adjust(_copy, false, held);

    /// <summary>Whether <see cref="One"/> does anything.</summary>
    public bool MovesOne => _copy.Exists(e => !e.Removes);

    public Vector3? Size => _copy.Concat(_whole).Select(e => e.Node.Vector("size")).FirstOrDefault(s => s is not null);

    /// <summary>Tells all that moved or removed it that this thing went with it.</summary>
    public void Went(Func<string> name)
    {
        Went(name, Removed);
        if (Removed)
        {
            _venue!.Gone(name);
        }
    }

    private void Went(Func<string> name, bool removed)
    {
        foreach (var c in removed ? _removals : _changes)
        {
            c.Went(name);
        }

        _holder?.Went(name, removed);
    }

    private bool Has(VenueEntry entry) => _whole.Contains(entry) || _copy.Contains(entry) || _holder?.Has(entry) == true;

    private Pose Adjust(List<VenueEntry> entries, bool whole, Pose written)
    {
        var (at, turn) = (written.Position, written.Orientation);
        foreach (var m in entries.Where(e => !e.Removes))
        {
            var before = at;
            at = m.Node.Vector("to") ?? (at + m.Node.VectorOr("by", Vector3.Zero));
            at.Z = m.Node.NumberOr("trim", at.Z);
            if (m.Node.Vector("turn") is { } more)
            {
                turn = Pose.FromDegrees(default, more).Orientation * turn;
            }

            if (!Removed)
            {
                _changes.Add(Told(m, whole, before, at));
            }
        }

        return new Pose(at, turn);
    }

    /// <summary>All copies are told as one; so are single things that one entry names, unless they hold others.</summary>
    private VenueChange Told(VenueEntry e, bool whole, Vector3 before, Vector3 after)
    {
        var kind = !e.Removes ? "" : whole && _kind == "fixture" ? "hang " : _kind + " ";
        return whole ? _venue!.Told(e, _node, "", () => new VenueChange(e.Said(kind, _node!.TextOr("name"), before, after), _node!.TextOr("name")))
            : _kind == "part" ? _venue!.Told(e, _node, _name, () => new VenueChange(e.Said(kind, _name, before, after), _name))
            : _venue!.Told(e, null, _kind, () => new VenueChange(e.Said(kind, _name, before, after), _name, e.Said("")));
    }
}

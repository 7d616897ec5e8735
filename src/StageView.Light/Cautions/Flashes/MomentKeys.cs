using System.IO.Hashing;
using System.Numerics;
using System.Runtime.InteropServices;
using StageView.Light.Moments;

namespace StageView.Light.Cautions.Flashes;

/// <summary>
/// Tells whether anything, and what, differs between two moments: a key for the room (scenery that blocks light, and mirrors), one for each beam and each
/// pixel surface without how bright it is, and one for all of it.
/// </summary>
public sealed class MomentKeys
{
    private readonly UInt128[] _beams;
    private readonly UInt128[] _surfaces;

    private MomentKeys(UInt128 room, UInt128 all, UInt128[] beams, UInt128[] surfaces) => (Room, All, _beams, _surfaces) = (room, all, beams, surfaces);

    /// <summary>Of what blocks light and what mirrors it.</summary>
    public UInt128 Room { get; }

    /// <summary>Of the room and all light in it.</summary>
    public UInt128 All { get; }

    /// <summary>Of each beam, whatever its flux and colour.</summary>
    public ReadOnlySpan<UInt128> Beams => _beams;

    /// <summary>Of each pixel surface, whatever its pixels show.</summary>
    public ReadOnlySpan<UInt128> Surfaces => _surfaces;

    /// <summary>The keys of a moment.</summary>
    public static MomentKeys Of(Moment moment)
    {
        ArgumentNullException.ThrowIfNull(moment);
        var hash = new XxHash128();
        var scenery = moment.Scenery.Span;
        for (var i = 0; i < scenery.Length; i++)
        {
            if (scenery[i].BlocksLight)
            {
                Add(hash, i);
                Add(hash, scenery[i]);
            }
        }

        foreach (ref readonly var mirror in moment.Mirrors.Span)
        {
            Add(hash, mirror with { Outline = default });
            hash.Append(MemoryMarshal.AsBytes(moment.OutlineOf(mirror.Outline)));
        }

        var room = hash.GetCurrentHashAsUInt128();
        hash.Reset();
        Add(hash, room);
        hash.Append(MemoryMarshal.AsBytes(moment.Beams.Span));
        hash.Append(MemoryMarshal.AsBytes(moment.Lasers.Span));
        hash.Append(MemoryMarshal.AsBytes(moment.PixelSurfaces.Span));
        hash.Append(MemoryMarshal.AsBytes(moment.Pixels.Span));
        var all = hash.GetCurrentHashAsUInt128();
        return new MomentKeys(room, all, BeamsOf(moment, hash), SurfacesOf(moment, hash));
    }

    /// <summary>The same light with the room of another moment: where what moves is looked at less often.</summary>
    public MomentKeys Within(UInt128 room) => new(room, All, _beams, _surfaces);

    private static UInt128[] BeamsOf(Moment moment, XxHash128 hash)
    {
        var beams = moment.Beams.Span;
        var keys = new UInt128[beams.Length];
        for (var i = 0; i < keys.Length; i++)
        {
            hash.Reset();
            Add(hash, beams[i] with
            {
                FluxLumens = 1,
                Colour = Vector3.One,
                Throughput = 1,
                Parent = default,
                FirstPathMirror = 0,
                Clip = default,
            });
            if (beams[i].Bounces > 0)
            {
                hash.Append(MemoryMarshal.AsBytes(moment.OutlineOf(beams[i].Clip)));
                hash.Append(MemoryMarshal.AsBytes(moment.MirrorsOf(beams[i])));
            }

            keys[i] = hash.GetCurrentHashAsUInt128();
        }

        return keys;
    }

    private static UInt128[] SurfacesOf(Moment moment, XxHash128 hash)
    {
        var surfaces = moment.PixelSurfaces.Span;
        var keys = new UInt128[surfaces.Length];
        for (var i = 0; i < keys.Length; i++)
        {
            hash.Reset();
            Add(hash, surfaces[i] with { FirstPixel = 0 });
            keys[i] = hash.GetCurrentHashAsUInt128();
        }

        return keys;
    }

    private static void Add<T>(XxHash128 hash, in T value)
        where T : struct =>
        hash.Append(MemoryMarshal.AsBytes(MemoryMarshal.CreateReadOnlySpan(in value, 1)));
}

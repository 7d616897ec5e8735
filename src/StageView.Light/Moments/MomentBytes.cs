using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using StageView.Ground.Indices;
using StageView.Light.Photometry;
using StageView.Light.Scans;

namespace StageView.Light.Moments;

/// <summary>
/// A moment as bytes, for another process of the same program on the same machine (structures as they lie in memory;
/// no format to keep). What is the same in every moment of a rig is written apart, by <see cref="WriteTables"/>.
/// </summary>
public static class MomentBytes
{
    /// <summary>Sections in order: beams, surfaces, pixels, lasers, mirrors, scenery, outlines, mirror paths, scanners, thrown pictures.</summary>
    private const int Sections = 10;

    private static readonly int[] Sizes =
    [
        Unsafe.SizeOf<Beam>(), Unsafe.SizeOf<PixelSurface>(), Unsafe.SizeOf<Vector3>(), Unsafe.SizeOf<LaserBeam>(),
        Unsafe.SizeOf<Mirror>(), Unsafe.SizeOf<MeshInstance>(), Unsafe.SizeOf<Vector3>(), Unsafe.SizeOf<MirrorIndex>(),
        Unsafe.SizeOf<LaserScanner>(), sizeof(byte),
    ];

    private static readonly int HeadLength = (2 * sizeof(long)) + Unsafe.SizeOf<Haze>() + (Sections * sizeof(int));

    /// <summary>Writes a moment into a buffer that grows when it must; returns the length used.</summary>
    public static int Write(Moment moment, ref byte[] buffer)
    {
        ArgumentNullException.ThrowIfNull(moment);
        var thrown = WriteThrown(moment);
        ReadOnlySpan<int> counts =
        [
            moment.Beams.Length, moment.PixelSurfaces.Length, moment.Pixels.Length, moment.Lasers.Length,
            moment.Mirrors.Length, moment.Scenery.Length, moment.Outlines.Length, moment.MirrorPaths.Length,
            moment.Scanners.Length, thrown.Length,
        ];
        var length = HeadLength;
        for (var i = 0; i < Sections; i++)
        {
            length += counts[i] * Sizes[i];
        }

        ArgumentNullException.ThrowIfNull(buffer);
        if (buffer.Length < length)
        {
            buffer = new byte[length + (length / 4)];
        }

        var to = buffer.AsSpan();
        Put(ref to, [moment.Time.Ticks, moment.LacksReflections ? 1L : 0]);
        Put(ref to, [moment.Haze]);
        Put(ref to, counts);
        Put(ref to, moment.Beams.Span);
        Put(ref to, moment.PixelSurfaces.Span);
        Put(ref to, moment.Pixels.Span);
        Put(ref to, moment.Lasers.Span);
        Put(ref to, moment.Mirrors.Span);
        Put(ref to, moment.Scenery.Span);
        Put(ref to, moment.Outlines.Span);
        Put(ref to, moment.MirrorPaths.Span);
        Put(ref to, moment.Scanners.Span);
        Put(ref to, thrown);
        return length;
    }

    /// <summary>Makes a moment of its own memory out of bytes.</summary>
    /// <param name="bytes">What <see cref="Write"/> wrote.</param>
    /// <param name="tables">A moment out of <see cref="ReadTables"/> whose meshes, gobos, webs and names are taken over.</param>
    /// <exception cref="InvalidDataException">The bytes are no moment.</exception>
    public static Moment Read(ReadOnlySpan<byte> bytes, Moment tables)
    {
        ArgumentNullException.ThrowIfNull(tables);
        if (bytes.Length < HeadLength)
        {
            throw new InvalidDataException("a moment was cut short");
        }

        Span<long> head = stackalloc long[2];
        Span<Haze> haze = stackalloc Haze[1];
        Span<int> counts = stackalloc int[Sections];
        Take(ref bytes, head);
        Take(ref bytes, haze);
        Take(ref bytes, counts);
        long length = 0;
        for (var i = 0; i < Sections; i++)
        {
            length += counts[i] < 0 ? long.MaxValue / 16 : (long)counts[i] * Sizes[i];
        }

        if (length != bytes.Length)
        {
            throw new InvalidDataException($"a moment holds {bytes.Length} bytes where its counts ask for {length}");
        }

        var moment = new Moment
        {
            Time = new TimeSpan(head[0]),
            Haze = haze[0],
            LacksReflections = head[1] != 0,
            Beams = Take<Beam>(ref bytes, counts[0]),
            PixelSurfaces = Take<PixelSurface>(ref bytes, counts[1]),
            Pixels = Take<Vector3>(ref bytes, counts[2]),
            Lasers = Take<LaserBeam>(ref bytes, counts[3]),
            Mirrors = Take<Mirror>(ref bytes, counts[4]),
            Scenery = Take<MeshInstance>(ref bytes, counts[5]),
            Outlines = Take<Vector3>(ref bytes, counts[6]),
            MirrorPaths = Take<MirrorIndex>(ref bytes, counts[7]),
            Scanners = Take<LaserScanner>(ref bytes, counts[8]),
            Meshes = tables.Meshes,
            GoboImages = tables.GoboImages,
            Scans = tables.Scans,
            Webs = tables.Webs,
            MirrorNames = tables.MirrorNames,
            SceneryNames = tables.SceneryNames,
        };
        if (counts[9] > 0)
        {
            var thrown = ReadThrown(bytes[..counts[9]]);
            (moment.GoboImages, moment.ThrownImages) = ([.. tables.GoboImages, .. thrown], thrown.Count);
        }

        return moment;
    }

    private static byte[] WriteThrown(Moment moment)
    {
        if (moment.ThrownImages == 0)
        {
            return [];
        }

        using var stream = new MemoryStream();
        using var w = new BinaryWriter(stream);
        List(w, [.. moment.GoboImages.TakeLast(moment.ThrownImages)], g => Image(w, g));
        w.Flush();
        return stream.ToArray();
    }

    private static List<GoboImage> ReadThrown(ReadOnlySpan<byte> bytes)
    {
        using var r = new BinaryReader(new MemoryStream(bytes.ToArray()));
        return List(r, () => Image(r));
    }

    private static void Image(BinaryWriter w, GoboImage g)
    {
        w.Write(g.Name);
        w.Write(g.Size);
        w.Write(g.Transmission);
        Array<byte>(w, g.Rgb);
    }

    private static GoboImage Image(BinaryReader r)
    {
        var (name, size, transmission) = (r.ReadString(), r.ReadInt32(), r.ReadSingle());
        return new GoboImage { Name = name, Size = size, Transmission = transmission, Rgb = Array<byte>(r) };
    }

    /// <summary>Writes what all moments of a rig share.</summary>
    public static byte[] WriteTables(Moment moment)
    {
        ArgumentNullException.ThrowIfNull(moment);
        using var stream = new MemoryStream();
        using var w = new BinaryWriter(stream);
        List(w, moment.Meshes, m =>
        {
            w.Write(m.Name);
            Array<Vector3>(w, m.Positions);
            Array<Vector3>(w, m.Normals);
            Array<int>(w, m.Indices);
        });
        List(w, [.. moment.GoboImages.SkipLast(moment.ThrownImages)], g => Image(w, g));
        List(w, moment.Webs, p =>
        {
            w.Write(p.Name);
            Array<float>(w, p.PolarRadians);
            Array<float>(w, p.AzimuthRadians);
            Array<float>(w, p.Relative);
            w.Write(p.PeakCandela);
            w.Write(p.Lumens);
        });
        List(w, moment.Scans, s =>
        {
            w.Write(s.Name);
            w.Write(s.PointsPerSecond);
            Array<ScanPoint>(w, [.. s.Points]);
        });
        List(w, moment.MirrorNames, w.Write);
        List(w, moment.SceneryNames, w.Write);
        w.Flush();
        return stream.ToArray();
    }

    /// <summary>An empty moment with the tables of <see cref="WriteTables"/>.</summary>
    public static Moment ReadTables(byte[] bytes)
    {
        using var r = new BinaryReader(new MemoryStream(bytes));
        return new Moment
        {
            Meshes =
                List(r, () => new SceneMesh { Name = r.ReadString(), Positions = Array<Vector3>(r), Normals = Array<Vector3>(r), Indices = Array<int>(r) }),
            GoboImages = List(r, () => Image(r)),
            Webs = List(r, () => new PhotometricWeb
            {
                Name = r.ReadString(),
                PolarRadians = Array<float>(r),
                AzimuthRadians = Array<float>(r),
                Relative = Array<float>(r),
                PeakCandela = r.ReadSingle(),
                Lumens = r.ReadSingle(),
            }),
            Scans = List(r, () => new LaserScan(r.ReadString(), r.ReadDouble(), Array<ScanPoint>(r))),
            MirrorNames = List(r, r.ReadString),
            SceneryNames = List(r, r.ReadString),
        };
    }

    private static void Put<T>(ref Span<byte> to, scoped ReadOnlySpan<T> from)
        where T : unmanaged
    {
        var bytes = MemoryMarshal.AsBytes(from);
        bytes.CopyTo(to);
        to = to[bytes.Length..];
    }

    private static void Take<T>(ref ReadOnlySpan<byte> from, scoped Span<T> to)
        where T : unmanaged
    {
        var bytes = MemoryMarshal.AsBytes(to);
        from[..bytes.Length].CopyTo(bytes);
        from = from[bytes.Length..];
    }

    private static T[] Take<T>(ref ReadOnlySpan<byte> from, int count)
        where T : unmanaged
    {
        var items = new T[count];
        Take(ref from, items.AsSpan());
        return items;
    }

    private static void List<T>(BinaryWriter w, IReadOnlyList<T> items, Action<T> write)
    {
        w.Write(items.Count);
        foreach (var item in items)
        {
            write(item);
        }
    }

    private static List<T> List<T>(BinaryReader r, Func<T> read)
    {
        var count = r.ReadInt32();
        var items = new List<T>();
        for (var i = 0; i < count; i++)
        {
            items.Add(read());
        }

        return items;
    }

    private static void Array<T>(BinaryWriter w, ReadOnlySpan<T> items)
        where T : unmanaged
    {
        w.Write(items.Length);
        w.Write(MemoryMarshal.AsBytes(items));
    }

    private static T[] Array<T>(BinaryReader r)
        where T : unmanaged
    {
        var items = new T[r.ReadInt32()];
        r.BaseStream.ReadExactly(MemoryMarshal.AsBytes(items.AsSpan()));
        return items;
    }
}

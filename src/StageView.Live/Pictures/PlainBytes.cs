using System.Runtime.InteropServices;

namespace StageView.Live.Pictures;

/// <summary>Structures as bytes.</summary>
internal static class PlainBytes
{
    public static ReadOnlySpan<byte> Of<T>(in T value)
        where T : unmanaged => MemoryMarshal.AsBytes(new ReadOnlySpan<T>(in value));

    public static T To<T>(ReadOnlySpan<byte> bytes)
        where T : unmanaged => MemoryMarshal.Read<T>(bytes);
}

using System.Numerics;

namespace StageView.Render.Shadows;

/// <summary>FNV-1a in 64 bits over 32-bit words (Fowler, Noll, Vo): the same in every process.</summary>
internal struct Fnv
{
    private ulong _state;

    public readonly ulong Value => _state ^ 14695981039346656037;

    public void Add(int word) => _state = ((_state ^ 14695981039346656037 ^ (uint)word) * 1099511628211) ^ 14695981039346656037;

    public void Add(float value) => Add(BitConverter.SingleToInt32Bits(value));

    public void Add(Vector3 value)
    {
        Add(value.X);
        Add(value.Y);
        Add(value.Z);
    }
}

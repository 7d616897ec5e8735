using System.Globalization;
using System.Runtime.CompilerServices;

namespace StageView.Rig.Source;

/// <summary>The text of a problem; its holes (the nearest word among thousands) are not looked at once a list keeps no more.</summary>
[InterpolatedStringHandler]
internal ref struct ProblemText
{
    private DefaultInterpolatedStringHandler _text;
    private readonly bool _kept;

    public ProblemText(int literals, int holes, ProblemList problems, out bool kept)
    {
        _kept = kept = !problems.IsFull;
        _text = kept ? new DefaultInterpolatedStringHandler(literals, holes, CultureInfo.InvariantCulture) : default;
    }

    public void AppendLiteral(string text) => _text.AppendLiteral(text);

    public void AppendFormatted<T>(T value) => _text.AppendFormatted(value);

    public void AppendFormatted<T>(T value, string? format) => _text.AppendFormatted(value, format);

    public override string ToString() => _kept ? _text.ToStringAndClear() : "";
}

namespace StageView.Ground.Systems;

/// <summary>The console or terminal that a command is given in.</summary>
public interface ITerminal
{
    /// <summary>That of this system.</summary>
    public static readonly ITerminal Here = ThisSystem.Choose<ITerminal>(() => new UnixTerminal(), () => new WindowsTerminal(), () => new UnixTerminal());

    /// <summary>Makes it take UTF-8, without a byte-order mark; called first thing.</summary>
    void Begin();

    /// <summary>Whether what is written to standard output may have control sequences of ECMA-48 (ANSI X3.64).</summary>
    bool TakesSequences { get; }
}

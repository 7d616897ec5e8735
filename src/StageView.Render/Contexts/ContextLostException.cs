namespace StageView.Render.Contexts;

/// <summary>
/// The driver took the context away, as it does when the graphics processor is reset or was without power. Nothing drawn since
/// then is to be believed; another context may draw again.
/// </summary>
public sealed class ContextLostException : MachineCannotException
{
    internal ContextLostException(string message, Exception? inner = null)
        : base(message, inner)
    {
    }
}
